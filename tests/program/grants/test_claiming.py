"""What a grant allows, and the funder's share of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.grants import claiming
from program.grants.claiming import Cost, Terms, net, share, sorted_out, stands_in_the_way
from program.ledger.chart import load
from program.ledger.restrictions import Spend
from tests.program.grants.awards import make_cost, make_terms


def why_not(terms: Terms, cost: Cost) -> str:
    return str(stands_in_the_way(terms, cost))


def test_a_cost_within_the_terms_is_allowed() -> None:
    assert stands_in_the_way(make_terms(), make_cost()) is None


def test_the_rule_of_the_fund_says_what_is_allowed() -> None:
    terms = make_terms(rule={"systems": "tires"})
    assert why_not(terms, make_cost()) == "It pays only for tires."


def test_a_rule_about_households_asks_for_a_case() -> None:
    terms = make_terms(rule={"counties": "Alder"})
    assert why_not(terms, make_cost()) == "It pays only in Alder."
    assert why_not(terms, make_cost(case="")) == (
        "No case is named, so nobody knows whether the household is one it pays for."
    )


def test_every_kind_of_part_has_to_be_allowed() -> None:
    pad, tire = (
        Spend(what="a", on=date(2026, 10, 9), cents=1, system=s) for s in ("brakes", "tires")
    )
    terms = make_terms(rule={"systems": "brakes"})
    assert why_not(terms, make_cost(spends=(pad, tire))) == "It pays only for brakes."


def test_accounts_narrow_what_is_allowed() -> None:
    terms = make_terms(accounts=frozenset({"6030"}))
    assert why_not(terms, make_cost()) == "The grant does not allow 6010 Parts bought."


@pytest.mark.parametrize(
    ("on", "sentence"),
    [
        (date(2026, 9, 30), "The grant begins on Thursday, October 1, 2026."),
        (date(2027, 1, 1), "The grant ended on Thursday, December 31, 2026."),
    ],
)
def test_the_first_and_last_day_are_the_only_limits_of_time(on: date, sentence: str) -> None:
    assert why_not(make_terms(), make_cost(on=on)) == sentence
    assert stands_in_the_way(make_terms(), make_cost(on=date(2026, 10, 1))) is None
    assert stands_in_the_way(make_terms(), make_cost(on=date(2026, 12, 31))) is None


def test_a_cost_that_a_restricted_gift_paid_is_not_claimed_again() -> None:
    cost = make_cost(restricted="Pruitt gift")
    assert why_not(make_terms(), cost) == "The Pruitt gift paid it: no cost is paid twice."


def test_money_ahead_was_held_to_its_rule_when_it_was_spent() -> None:
    cost = make_cost(fund=9, case="")
    rule = {"counties": "Orrin", "systems": "tires"}
    assert stands_in_the_way(make_terms(ahead=True, rule=rule), cost) is None
    assert stands_in_the_way(make_terms(rule=rule), cost) is not None


def test_money_ahead_pays_from_its_own_fund_only() -> None:
    terms = make_terms(ahead=True)
    assert stands_in_the_way(terms, make_cost(fund=9, restricted="commuter grant")) is None
    assert why_not(terms, make_cost()) == (
        "Another fund paid it; this grant's money lies in its own."
    )


def test_what_is_not_paid_with_money_is_no_cost_to_claim() -> None:
    accounts = claiming.cost_accounts(load())
    assert {"6020", "6110", "6120", "6130", "1010", "4030", "9010"}.isdisjoint(accounts)
    assert {"6010", "6030", "6100", "7020"} <= set(accounts)


# ---- reversals ----


def test_a_reversed_cost_is_gone_with_its_reversal() -> None:
    rows = [make_cost(1), make_cost(2, -10_000, reverses=1), make_cost(3)]
    assert [row.id for row in net(rows, {1: 2})] == [3]


def test_a_reversal_that_was_reversed_undoes_nothing() -> None:
    rows = [make_cost(1), make_cost(2, -10_000, reverses=1), make_cost(3, reverses=2)]
    assert [row.id for row in net(rows, {1: 2, 2: 3})] == [1]


def test_what_was_claimed_and_reversed_is_owed_back() -> None:
    rows = [make_cost(1, claimed=True), make_cost(2, -10_000, reverses=1)]
    (owed,) = net(rows, {1: 2})
    assert (owed.id, owed.cents) == (2, -10_000)


def test_only_the_claimed_line_of_a_reversed_entry_is_owed_back() -> None:
    claimed = make_cost(1, 4_000, entry=1, claimed=True)
    back = [make_cost(n, cents, entry=2, reverses=1) for n, cents in ((3, -4_000), (4, -7_000))]
    assert [row.id for row in net([claimed, *back], {1: 2})] == [3]


def test_two_equal_lines_are_owed_back_once_each() -> None:
    claimed = make_cost(1, 4_000, entry=1, claimed=True)
    back = [make_cost(n, -4_000, entry=2, reverses=1) for n in (3, 4)]
    assert [row.id for row in net([claimed, *back], {1: 2})] == [3]


def test_what_is_owed_back_stands_in_any_later_claim() -> None:
    owed = make_cost(2, -5_000, on=date(2027, 2, 1), reverses=1)
    assert claiming.until([owed], date(2026, 10, 31)) == [owed]
    assert stands_in_the_way(make_terms(), owed) is None


def test_a_move_between_two_allowed_accounts_is_no_cost() -> None:
    assert claiming.cost_side("6010", "6050", 100, {"6010", "6050"}) is None
    assert claiming.cost_side("6010", "6050", 100, {"6010"}) == ("6010", 100)
    assert claiming.cost_side("6010", "6050", 100, {"6050"}) == ("6050", -100)


# ---- shares ----


def test_the_match_of_a_federal_award_is_figured_from_the_award() -> None:
    # Source: the usual worked example, federal money divided by its percent, less itself: $80,000
    # at 80 percent asks for $20,000 (common practice; 2 CFR 200.306, from memory).
    assert claiming.matched(80_000_00, 20) == 20_000_00
    assert claiming.matched(100, 33) == 50  # 49.25, rounded up


def test_a_part_of_a_cent_stays_with_us() -> None:
    assert share([make_cost(cents=101)], 50).cents == 50
    assert share([make_cost(cents=101)], 50).own == 51


def test_the_share_over_three_funds_adds_up_to_the_cent() -> None:
    costs = [make_cost(n, 10_000, fund=n) for n in (3, 1, 2)]
    found = share(costs, 0, 10_000)
    assert found.by_fund == ((1, 3334), (2, 3333), (3, 3333))
    assert (found.cents, found.beyond) == (10_000, 20_000)


def test_a_claim_takes_off_what_came_back() -> None:
    found = share([make_cost(1, 10_000), make_cost(2, -2_500)], 20)
    assert (found.total, found.cents) == (7_500, 6_000)


def test_a_fund_in_which_more_came_back_than_was_spent_stands_in_the_way() -> None:
    costs = [make_cost(1, 10_000), make_cost(2, -1, fund=2)]
    with pytest.raises(ValueError, match=r"^In one fund more came back than was spent\."):
        share(costs, 0)


COSTS = st.lists(st.tuples(st.integers(1, 5), st.integers(1, 10**9)), min_size=1, max_size=40)


@given(COSTS, st.integers(0, 99), st.none() | st.integers(0, 10**10))
def test_the_shares_of_the_funds_are_the_claim_and_never_more_than_is_left(
    rows: list[tuple[int, int]], own: int, left: int | None
) -> None:
    costs = [make_cost(n, cents, fund=fund) for n, (fund, cents) in enumerate(rows)]
    found = share(costs, own, left)
    total = sum(cents for _, cents in rows)
    assert sum(cents for _, cents in found.by_fund) == found.cents
    assert all(cents > 0 for _, cents in found.by_fund)
    assert found.cents * 100 <= total * (100 - own)
    assert left is None or found.cents <= left
    assert share(costs[::-1], own, left) == found


@given(COSTS, st.integers(0, 99))
def test_no_fund_is_out_by_a_cent(rows: list[tuple[int, int]], own: int) -> None:
    costs = [make_cost(n, cents, fund=fund) for n, (fund, cents) in enumerate(rows)]
    found, total = share(costs, own), sum(cents for _, cents in rows)
    for fund, cents in found.by_fund:
        exact = found.cents * sum(c for f, c in rows if f == fund)
        assert abs(cents * total - exact) < total


@given(st.lists(st.integers(0, 60), max_size=30), st.randoms())
def test_each_cost_is_allowed_or_barred_once_whatever_their_order(
    days: list[int], chance: object
) -> None:
    costs = [
        make_cost(n, on=date.fromordinal(date(2026, 9, 15).toordinal() + day))
        for n, day in enumerate(days)
    ]
    allowed, others = sorted_out(make_terms(), costs)
    assert sorted([c.id for c in allowed] + [c.id for c, _ in others]) == list(range(len(days)))
    chance.shuffle(costs)  # type: ignore[attr-defined]  # a `random.Random`
    assert sorted_out(make_terms(), costs) == (allowed, others)


def test_a_claim_of_a_cycle_takes_what_earlier_ones_left() -> None:
    costs = [make_cost(1), replace(make_cost(2), on=date(2026, 11, 3))]
    assert [cost.id for cost in claiming.until(costs, date(2026, 10, 31))] == [1]
    assert [cost.id for cost in claiming.until(costs, date(2026, 11, 30))] == [1, 2]
