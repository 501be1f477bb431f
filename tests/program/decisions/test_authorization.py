"""How far the work may go, to the cent.

Source of the 10 percent: Md. Commercial Law 14-1002(b), text seen. Alaska Stat. 45.45.140 allows
nothing without approval, text seen.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.decisions.authorization import (
    Advice,
    Level,
    decide,
    forecast,
    may_grant,
    seen_key,
    still_to_sign,
)
from vehicles.custody.acts import OwnerKind
from vehicles.custody.authority import Named
from vehicles.custody.kinds import Joined

amounts = st.integers(0, 10**9)
percents = st.integers(0, 100)
joinings = st.sampled_from(Joined)


def people(count: int) -> list[Named]:
    return [Named(id=n, name=f"Owner {n}", kind=OwnerKind.TITLE) for n in range(1, count + 1)]


@pytest.mark.parametrize(
    ("authorized", "last_allowed"),
    [(100_00, 110_00), (99_99, 109_98), (9, 9), (1, 1), (0, 0), (333_33, 366_66)],
)
def test_ten_percent_on_top_is_the_last_cent_allowed(authorized: int, last_allowed: int) -> None:
    """Worked by hand: 110 percent of each amount, the part of a cent cut off."""
    at = forecast(spent_cents=0, to_go_p80_cents=last_allowed, authorized_cents=authorized)
    above = forecast(spent_cents=1, to_go_p80_cents=last_allowed, authorized_cents=authorized)
    assert at.limit_cents == last_allowed
    assert (at.stops, above.stops) == (False, True)


@given(spent=amounts, to_go=amounts, authorized=amounts, percent=percents)
def test_the_work_stops_exactly_where_the_share_is_passed(
    spent: int, to_go: int, authorized: int, percent: int
) -> None:
    found = forecast(
        spent_cents=spent,
        to_go_p80_cents=to_go,
        authorized_cents=authorized,
        over_percent=percent,
    )
    assert found.stops == (spent + to_go > Fraction(authorized * (100 + percent), 100))
    assert found.total_cents == spent + to_go
    assert found.over_cents == max(spent + to_go - authorized, 0)


@given(spent=amounts, to_go=amounts, authorized=amounts)
def test_where_the_law_allows_nothing_one_cent_stops_the_work(
    spent: int, to_go: int, authorized: int
) -> None:
    found = forecast(
        spent_cents=spent, to_go_p80_cents=to_go, authorized_cents=authorized, over_percent=0
    )
    assert found.level is (Level.STOP if spent + to_go > authorized else Level.WITHIN)


def test_a_car_begins_within_what_is_authorized_and_is_near_once_it_passes_it() -> None:
    levels = [
        forecast(spent_cents=0, to_go_p80_cents=cents, authorized_cents=100_00).level
        for cents in (100_00, 100_01, 110_00, 110_01)
    ]
    assert levels == [Level.WITHIN, Level.NEAR, Level.NEAR, Level.STOP]


def test_each_level_says_its_figures() -> None:
    stopped = forecast(spent_cents=50_00, to_go_p80_cents=70_00, authorized_cents=100_00)
    assert str(stopped.sentence) == (
        "The work has stopped: it comes to $120.00, and $100.00 is authorized. More than 10 percent"
        " on top, $110.00, needs a yes of its own."
    )
    near = forecast(spent_cents=50_00, to_go_p80_cents=55_00, authorized_cents=100_00)
    assert str(near.sentence) == (
        "The work goes beyond the $100.00 authorized: $105.00. It stops above $110.00."
    )


def test_an_amount_below_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="An amount of an authorization can’t be below zero"):
        forecast(spent_cents=-1, to_go_p80_cents=0, authorized_cents=0)


@given(to_go=amounts, cap=amounts, stopping=st.none() | amounts, gone=amounts)
def test_what_is_gone_never_moves_the_advice(
    to_go: int, cap: int, stopping: int | None, gone: int
) -> None:
    without = decide(to_go_p80_cents=to_go, stopping_cents=stopping, cap_cents=cap)
    with_it = decide(
        to_go_p80_cents=to_go, stopping_cents=stopping, cap_cents=cap, spent_cents=gone
    )
    assert without.advice is with_it.advice


@given(to_go=amounts, cap=amounts, stopping=amounts)
def test_the_figures_speak_for_going_on_up_to_the_cap_or_what_stopping_costs(
    to_go: int, cap: int, stopping: int
) -> None:
    found = decide(to_go_p80_cents=to_go, stopping_cents=stopping, cap_cents=cap)
    assert found.advice is (Advice.GO_ON if to_go <= max(cap, stopping) else Advice.STOP)


def test_the_reasons_of_an_advice_name_its_figures() -> None:
    found = decide(
        to_go_p80_cents=2_000_00, stopping_cents=120_00, cap_cents=1_500_00, spent_cents=300_00
    )
    assert [str(one) for one in (found.sentence, *found.reasons)] == [
        "The figures speak for stopping: return the car, or find another one.",
        "What is left costs $2,000.00; a case may take $1,500.00.",
        "To return it unrepaired costs about $120.00.",
        "$300.00 is spent either way and doesn’t count.",
    ]


@given(count=st.integers(1, 4), joined=joinings, signed=st.sets(st.integers(1, 4)))
def test_all_sign_under_and_else_one_is_enough(
    count: int, joined: Joined, signed: set[int]
) -> None:
    missing = {one.id for one in still_to_sign(people(count), joined, signed)}
    unsigned = set(range(1, count + 1)) - signed
    if joined is Joined.ALL:
        assert missing == unsigned
    else:
        assert missing == (unsigned if len(unsigned) == count else set())


def test_who_asks_for_money_does_not_grant_it() -> None:
    assert not may_grant(asked_by=3, grants=3)
    assert may_grant(asked_by=3, grants=4)


@given(first=st.tuples(amounts, amounts), second=st.tuples(amounts, amounts))
def test_other_figures_have_another_key(first: tuple[int, int], second: tuple[int, int]) -> None:
    assert (seen_key(*first) == seen_key(*second)) == (first == second)
