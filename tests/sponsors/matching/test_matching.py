from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import timedelta
from itertools import product
from random import Random

import pytest

from shared.say import say
from sponsors.matching.compatibility import Cause, NeedLine, SupplyLine
from sponsors.matching.matching import Matching, match, rematch
from tests.sponsors.matching.lines import (
    FOCUS,
    TODAY,
    WORK_DAY,
    make_need,
    make_part,
    make_supply,
)
from vehicles.repairs.fitment import Answer, Car, Fit, Part

NAMES = ("Focus", "Fiesta", "Fusion")


def pairs(found: Matching) -> list[tuple[int, int]]:
    return [(one.need_id, one.supply_id) for one in found.matches]


def random_lines(seed: int, size: int) -> tuple[list[NeedLine], list[SupplyLine]]:
    """Return needs and supplies of all tiers, ages, cars, counties and expiries, repeatably."""
    chance = Random(seed)
    needs = [
        make_need(
            at,
            tier=chance.randrange(4),
            opened_on=TODAY - timedelta(days=chance.randrange(4)),
            car=replace(FOCUS, model=chance.choice(NAMES)),
            county=chance.choice(("Bramwick", "Wexley")),
        )
        for at in range(size)
    ]
    supplies = [
        make_supply(
            at,
            part=make_part(model=chance.choice(NAMES)),
            expires_on=chance.choice((None, WORK_DAY, WORK_DAY + timedelta(days=at))),
            counties=chance.choice(((), ("Wexley",))),
            quantity=chance.randint(1, 2),
        )
        for at in range(size - 1)
    ]
    return needs, supplies


def may_serve(supply: SupplyLine, need: NeedLine) -> bool:
    """Return the rule of the random lines in a second hand."""
    return supply.part.fitment.model == need.car.model and (
        not supply.counties or need.county in supply.counties
    )


def levels(
    needs: list[NeedLine], supplies: list[SupplyLine], choice: dict[int, int]
) -> tuple[object, ...]:
    """Return how good a choice is on the four levels: tiers, number, age, expiry."""
    served = [need for need in needs if need.id in choice]
    tiers = [sum(need.tier == tier for need in served) for tier in range(4)]
    order = sorted(needs, key=lambda need: (need.tier, need.opened_on, need.id))
    used = Counter(choice.values())
    expiry = sorted(supplies, key=lambda one: (one.expires_on is None, one.expires_on, one.id))
    ages = [need.id in choice for need in order]
    return tiers, len(served), ages, [used[supply.id] for supply in expiry]


@pytest.mark.parametrize("seed", range(60))
def test_no_other_choice_is_better_on_any_of_the_four_levels(seed: int) -> None:
    needs, supplies = random_lines(seed, 5)
    options = [
        (None, *(supply.id for supply in supplies if may_serve(supply, need))) for need in needs
    ]
    have = {supply.id: supply.quantity for supply in supplies}
    ids = [need.id for need in needs]
    choices = [
        {id_: pick for id_, pick in zip(ids, picks, strict=True) if pick is not None}
        for picks in product(*options)
        if all(picks.count(id_) <= units for id_, units in have.items())
    ]
    best = max(levels(needs, supplies, choice) for choice in choices)
    assert levels(needs, supplies, dict(pairs(match(needs, supplies)))) == best


@pytest.mark.parametrize("seed", range(10))
def test_the_matching_is_the_same_however_the_lines_come(seed: int) -> None:
    needs, supplies = random_lines(seed, 25)
    chance = Random(seed)
    mixed = chance.sample(needs, len(needs)), chance.sample(supplies, len(supplies))
    assert match(*mixed) == match(needs, supplies)


@pytest.mark.parametrize("seed", range(10))
def test_every_unit_is_matched_or_has_its_reason_and_none_is_used_twice(seed: int) -> None:
    needs, supplies = random_lines(seed, 25)
    found = match(needs, supplies)
    used = Counter(one.supply_id for one in found.matches)
    idle = Counter({one.supply_id: one.units for one in found.idle})
    assert used + idle == Counter({one.id: one.quantity for one in supplies})
    served = Counter(one.need_id for one in found.matches)
    left = Counter({one.need_id: one.units for one in found.unserved})
    assert served + left == Counter({one.id: one.quantity for one in needs})
    reasons = [one.reason for one in found.unserved] + [one.reason for one in found.idle]
    assert all(str(reason).endswith(".") for reason in reasons)


@pytest.mark.parametrize("seed", range(20))
def test_after_a_withdrawal_and_a_new_pledge_the_same_needs_are_served(seed: int) -> None:
    needs, supplies = random_lines(seed, 20)
    held = pairs(match(needs, supplies))
    after = [*supplies[3:], make_supply(99, part=make_part(model="Focus"), quantity=2)]
    found = rematch(needs, after, held)
    anew = match(needs, after)
    assert [one.need_id for one in found.matches] == [one.need_id for one in anew.matches]
    assert [one.need_id for one in found.unserved] == [one.need_id for one in anew.unserved]


def test_without_a_change_nothing_moves() -> None:
    needs, supplies = random_lines(4, 20)
    found = match(needs, supplies)
    assert rematch(needs, supplies, pairs(found)) == found


def test_a_pair_that_no_longer_fits_is_dropped() -> None:
    supply = make_supply(expires_on=TODAY)
    found = rematch([make_need()], [supply], [(1, 1), (1, 77), (8, 1)])
    assert [one.cause for one in found.unserved] == [Cause.EXPIRES]


def test_a_new_pledge_moves_one_chain_and_leaves_the_others() -> None:
    fiesta = replace(FOCUS, model="Fiesta")
    needs = [make_need(1), make_need(2), make_need(3, car=fiesta)]
    supplies = [make_supply(1), make_supply(2), make_supply(3, part=make_part(model="Fiesta"))]
    assert pairs(rematch(needs, supplies, [(2, 1), (3, 3)])) == [(1, 2), (2, 1), (3, 3)]


def test_an_older_need_goes_before_and_the_younger_one_learns_which() -> None:
    older = make_need(7, opened_on=TODAY - timedelta(days=30))
    found = match([make_need(3), older], [make_supply()])
    assert pairs(found) == [(7, 1)]
    [left] = found.unserved
    assert (left.need_id, left.cause, left.ahead_need_ids) == (3, Cause.OUTRANKED, (7,))
    assert str(left.reason) == "All that fits is kept for needs that come first: 7."


def test_many_needs_that_come_first_are_counted() -> None:
    needs = [make_need(at, tier=0) for at in range(1, 8)] + [make_need(9)]
    [left] = match(needs, [make_supply(quantity=7)]).unserved
    assert str(left.reason) == (
        "All that fits is kept for needs that come first: 1, 2, 3, 4, 5 and 2 more."
    )


def test_a_need_that_gets_a_part_of_what_it_asks_says_so() -> None:
    found = match([make_need(quantity=3)], [make_supply(quantity=2)])
    assert pairs(found) == [(1, 1), (1, 1)]
    [left] = found.unserved
    assert (left.units, str(left.reason)) == (
        1,
        "All that fits is used for this need, and more is needed.",
    )


def test_the_pledge_that_expires_first_is_used() -> None:
    lasting, ending = make_supply(1), make_supply(2, expires_on=WORK_DAY)
    found = match([make_need()], [lasting, ending])
    assert [(one.supply_id, one.pledge_id) for one in found.matches] == [(2, 20)]
    assert [str(one.reason) for one in found.idle] == ["Each need that it can serve is served."]


def test_a_match_says_what_fits_and_what_the_claim_is() -> None:
    [found] = match([make_need(tier=0)], [make_supply()]).matches
    assert str(found.reason) == "It is for a Ford Focus. Tier 0, open since Nov 25."


def test_a_need_that_only_a_doubtful_part_could_serve_names_whom_to_ask() -> None:
    doubtful = make_supply(5, part=make_part(engine="2.0L"))
    wrong = make_supply(6, part=make_part(model="Fiesta"))
    [left] = match([make_need()], [wrong, doubtful]).unserved
    assert (left.cause, left.ask_supply_ids) == (Cause.ASK, (5,))
    assert str(left.reason) == (
        "None of the 2 pledges of this part can serve it. The nearest: "
        "It is for one engine only; the car’s is not known."
    )


def test_a_need_without_any_pledge_and_a_pledge_without_any_need_say_so() -> None:
    found = match([make_need()], [make_supply(part=make_part("radiator"))])
    assert [(one.cause, str(one.reason)) for one in found.unserved] == [
        (Cause.NO_SUPPLY, "No pledge is of this part.")
    ]
    assert [str(one.reason) for one in found.idle] == ["No need is for this part."]


def test_one_pledge_that_does_not_fit_says_why_on_both_sides() -> None:
    found = match([make_need()], [make_supply(part=make_part(year_to=2011))])
    [left] = found.unserved
    assert str(left.reason) == (
        "The one pledge of this part can’t serve it: "
        "It is for model years 2010 to 2011; the car is of 2012."
    )
    assert [str(one.reason) for one in found.idle] == [
        "It can serve none of the needs for this part."
    ]


def test_the_rule_of_fit_can_be_handed_in() -> None:
    def never(part: Part, need: Part, car: Car) -> Fit:
        return Fit(answer=Answer.DOES_NOT_FIT, reason=say("Never."))

    assert match([make_need()], [make_supply()], never).matches == ()


def test_nothing_matches_nothing() -> None:
    assert match([], []) == Matching(matches=(), unserved=(), idle=())
