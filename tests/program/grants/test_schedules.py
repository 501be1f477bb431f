"""Cycles are whole calendar periods cut to the grant, and together they are its days."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.grants.schedules import Cycle, cycles, overlaps, span_name
from program.grants.states import ClaimCycle

DAYS = st.dates(date(2020, 1, 1), date(2030, 12, 31))


def test_quarters_end_on_the_days_of_the_federal_financial_report() -> None:
    # Source: the instructions of the federal financial report name March 31, June 30, September 30
    # and December 31 as the ends of interim periods (from memory).
    found = cycles("quarterly", date(2026, 2, 10), date(2027, 1, 15), due_days=30)
    assert [(str(one.from_on), str(one.until_on), str(one.due_on)) for one in found] == [
        ("2026-02-10", "2026-03-31", "2026-04-30"),
        ("2026-04-01", "2026-06-30", "2026-07-30"),
        ("2026-07-01", "2026-09-30", "2026-10-30"),
        ("2026-10-01", "2026-12-31", "2027-01-30"),
        ("2027-01-01", "2027-01-15", "2027-02-14"),
    ]


def test_months_are_cut_to_the_grant() -> None:
    found = cycles("monthly", date(2026, 10, 15), date(2026, 12, 20))
    assert [one.name for one in found] == [
        "October 15 to 31, 2026",
        "November 2026",
        "December 1 to 20, 2026",
    ]


def test_a_grant_claimed_once_has_one_cycle() -> None:
    (found,) = cycles("once", date(2026, 10, 1), date(2027, 3, 31), due_days=90)
    assert found == Cycle(
        from_on=date(2026, 10, 1), until_on=date(2027, 3, 31), due_on=date(2027, 6, 29)
    )


def test_a_grant_that_ends_before_it_begins_has_no_cycles() -> None:
    with pytest.raises(ValueError, match=r"^A grant can't end before it begins\.$"):
        cycles("monthly", date(2026, 10, 2), date(2026, 10, 1))


@given(st.sampled_from(ClaimCycle), DAYS, st.integers(0, 1500))
def test_the_cycles_touch_and_are_the_days_of_the_grant(
    cycle: ClaimCycle, begins_on: date, length: int
) -> None:
    ends_on = begins_on + timedelta(days=length)
    found = cycles(cycle, begins_on, ends_on)
    assert (found[0].from_on, found[-1].until_on) == (begins_on, ends_on)
    assert all(one.from_on <= one.until_on for one in found)
    ends = [one.until_on + timedelta(days=1) for one in found[:-1]]
    assert ends == [one.from_on for one in found[1:]]


def test_a_span_in_two_years_names_both() -> None:
    assert span_name(date(2026, 12, 15), date(2027, 1, 31)) == (
        "December 15, 2026 to January 31, 2027"
    )


def test_cycles_that_only_touch_do_not_overlap() -> None:
    october, november, _ = cycles("monthly", date(2026, 10, 1), date(2026, 12, 31))
    assert not overlaps(october, november.from_on, november.until_on)
    assert overlaps(october, date(2026, 10, 31), date(2026, 11, 1))
