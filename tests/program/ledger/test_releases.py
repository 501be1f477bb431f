"""What an entry's spend releases of a donor's restriction."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.ledger.releases import Part, owed, spent_by
from tests.program.ledger.making import CHART, PLAIN

GIFT = "PRU"
RELEASE, BACK = ("3210", "3220"), ("3220", "3210")


def part(debit: str, credit: str, cents: int, case: int | None = None, fund: str = GIFT) -> Part:
    return Part(debit=debit, credit=credit, cents=cents, fund=fund, case=case)


def released(*parts: Part) -> list[tuple[str, str, int, int | None]]:
    return [(one.debit, one.credit, one.cents, one.case) for one in owed(parts, CHART, {GIFT})]


def test_each_case_releases_what_was_spent_on_it() -> None:
    lines = [part("6010", "1010", 100, 1), part("6030", "2010", 40, 1), part("6050", "1010", 5)]
    assert released(*lines) == [(*RELEASE, 140, 1), (*RELEASE, 5, None)]


def test_a_fund_without_restriction_releases_nothing() -> None:
    assert released(part("6010", "1010", 100, fund="GEN")) == []


def test_what_the_entry_releases_itself_is_not_released_again() -> None:
    assert released(part("6010", "1010", 100), part(*RELEASE, 100)) == []
    assert released(part("6010", "1010", 100, 7), part(*RELEASE, 60)) == [(*RELEASE, 40, 7)]
    assert released(part(*RELEASE, 100)) == []


def test_a_refund_takes_its_release_back_and_a_reversal_brings_its_own() -> None:
    assert released(part("1010", "6010", 30, 7)) == [(*BACK, 30, 7)]
    assert released(part("1010", "6010", 30, 7), part(*BACK, 30, 7)) == []


@pytest.mark.parametrize(
    ("debit", "credit", "expected"),
    [
        # ASU 2016-14 (seen second-hand): long-lived things release when they are placed in service.
        ("1410", "1010", [(*RELEASE, 100, None)]),
        ("6130", "1490", []),  # so their depreciation releases nothing again
        ("1010", "1410", []),  # nor does their sale take it back
        ("6060", "1410", []),  # nor what is moved from them to an expense
        ("1220", "1010", []),  # a part on the shelf has met no purpose yet
        ("6010", "1220", [(*RELEASE, 100, None)]),
        ("6020", "1210", [(*RELEASE, 100, None)]),  # a given part is released when it is fitted
        ("1410", "3020", []),  # what was there at the start was released before
        ("6050", "6010", []),  # moved from one expense to another
        ("2010", "1010", []),  # a bill is paid, its expense was released when it came
    ],
)
def test_each_kind_of_account_releases_in_its_time(
    debit: str, credit: str, expected: list[tuple[str, str, int, int | None]]
) -> None:
    assert released(part(debit, credit, 100)) == expected


PARTS = st.builds(
    part,
    st.sampled_from(PLAIN),
    st.sampled_from(PLAIN),
    st.integers(1, 10**6),
    st.sampled_from([None, 1, 2]),
)
SELF_RELEASED = st.builds(
    lambda pair, cents, case: part(pair[0], pair[1], cents, case),
    st.sampled_from([RELEASE, BACK]),
    st.integers(1, 10**6),
    st.sampled_from([None, 1, 2]),
)


@given(st.lists(PARTS, max_size=8))
def test_releases_are_what_was_spent_case_by_case(parts: list[Part]) -> None:
    spent: Counter[int | None] = Counter()
    for one in parts:
        spent[one.case] += spent_by(one, CHART)
    freed = {
        one.case: one.cents if one.debit == "3210" else -one.cents
        for one in owed(parts, CHART, {GIFT})
    }
    assert freed == {case: cents for case, cents in spent.items() if cents}


@given(st.lists(PARTS | SELF_RELEASED, max_size=8))
def test_with_its_releases_an_entry_owes_none(parts: list[Part]) -> None:
    assert owed([*parts, *owed(parts, CHART, {GIFT})], CHART, {GIFT}) == []
