from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from sponsors.matching.compatibility import Cause, Compatibility, NeedLine, SupplyLine
from tests.sponsors.matching.lines import (
    FOCUS,
    TODAY,
    WORK_DAY,
    make_need,
    make_part,
    make_supply,
)
from vehicles.repairs.fitment import Answer, Car, Fit, Part, fits


def why(need: NeedLine, supply: SupplyLine) -> list[tuple[Cause, str]]:
    found = Compatibility([need], [supply]).obstacles(0)
    return [(cause, str(reason)) for cause, reason, _ in found]


def test_a_part_that_fits_under_no_condition_is_an_edge() -> None:
    assert Compatibility([make_need()], [make_supply()]).edges == [[0]]


def test_claims_go_by_tier_then_age_then_number() -> None:
    old = TODAY - timedelta(days=9)
    needs = [make_need(5), make_need(4, opened_on=old), make_need(6, tier=0), make_need(3)]
    can = Compatibility(needs, [])
    assert [need.id for need, _ in can.claims] == [6, 4, 3, 5]


def test_a_need_of_three_units_claims_three_times() -> None:
    can = Compatibility([make_need(quantity=3)], [])
    assert [class_ for _, class_ in can.claims] == [0, 0, 0]


def test_needs_that_differ_in_nothing_but_their_claim_share_a_class() -> None:
    needs = [make_need(1), make_need(2, tier=0), make_need(3, county="Wexley")]
    assert [class_ for _, class_ in Compatibility(needs, []).claims] == [0, 0, 1]


def test_supplies_go_by_expiry_and_those_without_one_come_last() -> None:
    supplies = [make_supply(1), make_supply(2, expires_on=date(2027, 3, 1))]
    supplies.append(make_supply(3, expires_on=date(2027, 1, 1)))
    can = Compatibility([make_need()], supplies)
    assert [can.supplies[at].id for at in can.edges[0]] == [3, 2, 1]


def test_a_pledge_that_lasts_until_the_day_of_the_work_serves() -> None:
    assert why(make_need(), make_supply(expires_on=WORK_DAY)) == []


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        (
            {"expires_on": WORK_DAY - timedelta(days=1)},
            (Cause.EXPIRES, "The pledge ends on Dec 6; the work is on Dec 7."),
        ),
        ({"counties": ("Wexley",)}, (Cause.CONDITION, "The pledge is for Wexley only.")),
        (
            {"household_kinds": ("veteran", "senior")},
            (Cause.CONDITION, "The pledge is for these households only: veteran, senior."),
        ),
        (
            {"part": make_part(year_to=2011)},
            (
                Cause.DOES_NOT_FIT,
                "It is for model years 2010 to 2011; the car is of 2012.",
            ),
        ),
        (
            {"part": make_part(engine="2.0L")},
            (Cause.ASK, "It is for one engine only; the car’s is not known."),
        ),
    ],
)
def test_what_stands_between_a_need_and_a_supply_is_said(
    fields: dict[str, Any], expected: tuple[Cause, str]
) -> None:
    supply = make_supply(**fields)
    assert why(make_need(), supply) == [expected]
    assert Compatibility([make_need()], [supply]).edges == [[]]


def test_a_household_of_the_kind_and_a_county_in_any_spelling_meet_the_conditions() -> None:
    supply = make_supply(counties=("BRAMWICK",), household_kinds=("veteran", "senior"))
    assert why(make_need(household_kinds=("senior",)), supply) == []


def test_a_need_of_unknown_county_does_not_meet_a_condition_on_counties() -> None:
    supply = make_supply(counties=("Bramwick",))
    assert why(make_need(county=""), supply) == [
        (Cause.CONDITION, "The pledge is for Bramwick only.")
    ]


def test_what_never_fits_outweighs_every_condition() -> None:
    supply = make_supply(part=make_part(year_to=2011), counties=("Wexley",))
    assert [cause for cause, _ in why(make_need(), supply)] == [Cause.DOES_NOT_FIT]


def test_the_nearest_obstacle_comes_first() -> None:
    supplies = [
        make_supply(1, part=make_part(model="Fiesta")),
        make_supply(2, counties=("Wexley",)),
        make_supply(3, part=make_part(engine="2.0L")),
    ]
    found = Compatibility([make_need()], supplies).obstacles(0)
    assert [supply.id for _, _, supply in found] == [3, 2, 1]


def test_other_kinds_of_part_are_not_looked_at() -> None:
    supply = make_supply(part=make_part("radiator"))
    can = Compatibility([make_need()], [supply])
    assert (can.edges, can.obstacles(0), can.is_wanted(supply)) == ([[]], [], False)


def test_the_fit_is_asked_once_for_each_part_and_car() -> None:
    asked: list[tuple[Part, Car]] = []

    def rule(part: Part, need: Part, car: Car) -> Fit:
        asked.append((part, car))
        return fits(part, car)

    needs = [make_need(at, county=f"County {at}") for at in range(5)]
    supplies = [make_supply(at) for at in range(4)]
    Compatibility(needs, supplies, rule)
    assert asked == [(make_part(), FOCUS)]


def test_a_part_to_ask_about_is_no_edge() -> None:
    ask = fits(make_part(engine="2.0L"), FOCUS)
    assert ask.answer is Answer.ASK
    assert Compatibility([make_need()], [make_supply()], lambda *_: ask).edges == [[]]


@pytest.mark.parametrize(
    ("needs", "supplies", "sentence"),
    [
        ([make_need(), make_need()], [], "One need is given twice."),
        ([], [make_supply(), make_supply()], "One supply is given twice."),
        ([make_need(quantity=0)], [], "A need of 0 units is not possible."),
        ([], [make_supply(quantity=-1)], "A supply of -1 units is not possible."),
    ],
)
def test_lines_that_can_not_be_are_refused(
    needs: list[NeedLine], supplies: list[SupplyLine], sentence: str
) -> None:
    with pytest.raises(ValueError, match=rf"^{sentence[:-1]}\.$"):
        Compatibility(needs, supplies)
