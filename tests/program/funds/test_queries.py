"""What the funds hold, may pay for and have to be spent by, as read from the books."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from program.funds.queries import (
    Book,
    deadline,
    fund_flags,
    fund_rows,
    lapse_flags,
    left_in,
    limits_in_words,
)
from program.ledger.queries import free_cents, held
from tests.factories import TODAY, make_entry, make_fund, make_program

if TYPE_CHECKING:
    from program.models import Fund

pytestmark = pytest.mark.django_db


def general(cents: int = 10_000) -> Fund:
    fund = make_fund(code="GEN", name="general fund")
    make_entry(("1010", "4010", cents, fund), key="gift:1")
    return fund


def book(fund: Fund) -> Book:
    return Book(fund, free_cents([fund], held(fund.program))[fund.code])


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"rule": {"systems": ["tires", "brakes"]}}, "It pays only for brakes or tires."),
        ({"purpose": "Anything."}, "Anything."),
        ({}, "Anything the program does."),
        ({"restricted": True}, "For a purpose."),
        ({"rule": {"until_on": "2026-12-31"}}, "It ends on Thursday, December 31, 2026."),
        ({"rule": {"from_on": "2026-12-01"}}, "It starts on Tuesday, December 1, 2026."),
    ],
)
def test_what_a_fund_may_pay_for_is_said(fields: dict[str, object], words: str) -> None:
    assert limits_in_words(make_fund(**fields)) == words


def test_a_funds_book_runs_and_shows_the_newest_first() -> None:
    fund = general()
    make_entry(("6010", "1010", 4_000, fund), what="Front pads", on="2026-12-01")
    make_entry(("1210", "4110", 700, fund), what="Hose given", on="2026-12-02")
    lines = list(book(fund))
    assert [(line.what, line.change, line.free) for line in lines] == [
        ("Hose given", 0, 6_000),
        ("Front pads", -4_000, 6_000),
        ("Gift", 10_000, 10_000),
    ]
    assert lines[0].free == free_cents([fund], held(make_program()))["GEN"]


def test_each_fund_is_listed_with_what_is_set_aside() -> None:
    fund = general()
    make_entry(("9010", "9020", 3_000, fund))
    (row,) = fund_rows(make_program(), held(make_program()))
    assert (row.name, row.there, row.set_aside, row.free) == ("General fund", 10_000, 3_000, 7_000)


def test_a_fund_below_zero_is_flagged_and_no_other() -> None:
    fund = general(1_000)
    make_fund(code="NEW")
    make_entry(("6010", "1010", 1_250, fund))
    (flag,) = fund_flags(make_program(), held(make_program()))
    assert str(flag.sentence) == "The general fund is $2.50 below zero."


def many(count: int) -> Fund:
    """Return a fund that took $10.00 and paid $3.00, so many times, the later the newer."""
    fund = general()
    for day in range(1, count + 1):
        make_entry(
            ("1010", "4010", 1_000, fund),
            ("6010", "1010", 300, fund),
            on=TODAY - dt.timedelta(days=day),
        )
    return fund


def test_each_page_of_a_book_goes_on_where_the_one_before_ended() -> None:
    fund = many(6)
    whole = list(book(fund))
    assert [line for start in range(0, 13, 4) for line in book(fund)[start : start + 4]] == whole
    assert (len(book(fund)), whole[-1].free, whole[-1].change) == (13, 1_000, 1_000)
    assert book(fund)[3] == whole[3]


def test_a_page_of_a_book_asks_the_same_few_questions_however_long_it_is() -> None:
    fund = many(20)
    with CaptureQueriesContext(
        connection,
    ) as asked:
        rows = Book(fund, 0)[25:30]
    assert (len(rows), len(asked)) == (5, 3)  # how many there are, what is newer, the page


def test_another_programs_funds_are_not_listed() -> None:
    general()
    other = make_program(name="Other garage")
    assert fund_rows(other, held(other)) == []


@pytest.mark.parametrize(
    ("lapses", "until", "last"),
    [
        (None, None, None),
        ("2026-12-31", None, dt.date(2026, 12, 31)),
        ("2026-12-31", "2026-12-20", dt.date(2026, 12, 20)),
        (None, "2026-12-20", dt.date(2026, 12, 20)),
    ],
)
def test_a_fund_ends_on_the_earlier_of_its_days(
    lapses: str | None, until: str | None, last: dt.date | None
) -> None:
    fund = make_fund(lapses_on=lapses, rule={"until_on": until} if until else {})
    fund.refresh_from_db()
    assert deadline(fund) == last


def test_what_lapses_first_is_said_first_and_what_is_set_aside_counts() -> None:
    late = make_fund(code="A", name="late gift", lapses_on="2027-01-20")
    soon = make_fund(code="B", name="soon gift", lapses_on="2026-12-05")
    make_entry(("1010", "4010", 5_000, late), ("1010", "4010", 5_000, soon))
    make_entry(("9010", "9020", 2_000, soon))
    flags = lapse_flags(make_program(), held(make_program()), TODAY)
    assert [str(flag.sentence) for flag in flags] == [
        "The soon gift will lapse $50.00 on Saturday, December 5, 2026, in 5 days.",
        "The late gift will lapse $50.00 on Wednesday, January 20, 2027, in 51 days.",
    ]


def test_a_spent_or_closed_fund_lapses_nothing() -> None:
    make_fund(code="A", lapses_on="2026-12-05")
    closed = make_fund(code="B", lapses_on="2026-12-05", closed_on="2026-11-01")
    make_entry(("1010", "4010", 5_000, closed))
    assert lapse_flags(make_program(), held(make_program()), TODAY) == []


def test_what_is_left_in_a_fund_is_named_by_account() -> None:
    fund = general()
    make_entry(("1210", "4110", 700, fund), ("6010", "2010", 300, fund), ("9010", "9020", 50, fund))
    assert left_in(fund, held(make_program())) == [
        "$100.00 on 1010 Checking account",
        "$7.00 on 1210 Donated parts on the shelf",
        "$3.00 on 2010 Bills to pay",
        "$0.50 set aside by approved plans",
    ]
