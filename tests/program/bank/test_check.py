"""Whether a statement follows the last one and adds up."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from program.bank.check import Given, Known, check, fingerprints
from program.bank.statement_file import FileLine

DAYS = Given(from_on=date(2026, 10, 1), until_on=date(2026, 10, 31), opening=1000, closing=1300)


def line(day: int, cents: int, words: str = "") -> FileLine:
    return FileLine(row=day, on=date(2026, 10, day), cents=cents, words=words)


LINES = [line(2, 500), line(20, -200)]


def said(given_: Given, lines: list[FileLine], known: Known | None = None) -> list[str]:
    return [str(one.sentence) for one in check(given_, lines, known or Known()).problems]


def after(lines: list[FileLine], day: int, closing: int) -> Known:
    return Known(
        until_on=date(2026, 10, day), closing=closing, prints=frozenset(fingerprints(lines))
    )


def test_a_first_statement_that_adds_up_is_taken_whole() -> None:
    checked = check(DAYS, LINES, Known())
    assert (checked.problems, checked.skipped, checked.given) == ((), 0, DAYS)
    assert [row for _, row in checked.lines] == LINES


def test_half_a_file_is_refused_by_the_missing_amount() -> None:
    assert said(DAYS, LINES[:1]) == [
        "$10.00 and the lines make $15.00, $2.00 more than the closing balance of $13.00."
    ]


def test_a_line_outside_its_days_is_named() -> None:
    days = replace(DAYS, from_on=date(2026, 10, 3))
    assert said(days, LINES) == ["Row 2, Friday, October 2, 2026, is not between Oct 3 and Oct 31."]


def test_days_in_the_wrong_order_are_refused() -> None:
    assert said(replace(DAYS, until_on=date(2026, 9, 1)), LINES) == [
        "The last day lies before the first."
    ]


def test_missing_days_are_named() -> None:
    known = Known(until_on=date(2026, 9, 28), closing=1000)
    assert said(DAYS, LINES, known) == [
        (
            "Days are missing: the last statement ends on Monday, September 28, 2026, this one"
            " begins on Thursday, October 1, 2026."
        )
    ]


def test_an_opening_that_is_not_the_last_closing_is_refused_by_how_much() -> None:
    known = Known(until_on=date(2026, 9, 30), closing=900)
    assert said(DAYS, LINES, known) == [
        (
            "The last statement closes at $9.00 on Wednesday, September 30, 2026; this one has"
            " $10.00 then, $1.00 more."
        )
    ]


def test_days_that_come_again_with_the_same_lines_are_skipped() -> None:
    checked = check(DAYS, LINES, after(LINES[:1], 15, 1500))
    assert (checked.problems, checked.skipped) == ((), 1)
    assert [row for _, row in checked.lines] == LINES[1:]
    assert (checked.given.from_on, checked.given.opening) == (date(2026, 10, 16), 1500)


def test_a_new_line_in_days_that_were_read_is_refused() -> None:
    known = after([line(2, 700)], 15, 1500)
    assert said(DAYS, LINES, known)[0] == (
        "Row 2, Friday, October 2, 2026, $5.00, lies in days that were read before, and is not"
        " among their lines."
    )


def test_nothing_new_is_refused() -> None:
    assert said(DAYS, LINES, after(LINES, 31, 1300)) == [
        "Everything to Saturday, October 31, 2026 was read already."
    ]


def test_two_equal_lines_of_one_day_are_two() -> None:
    twins = [line(2, 500, "DEPOSIT"), line(2, 500, "DEPOSIT")]
    assert len(set(fingerprints(twins))) == 2
    assert fingerprints(twins) == fingerprints(list(twins))


@given(
    st.lists(st.tuples(st.integers(1, 31), st.integers(-50, 50).filter(bool)), max_size=12),
    st.integers(0, 31),
)
def test_a_month_read_in_two_halves_holds_each_line_once(
    rows: list[tuple[int, int]], cut: int
) -> None:
    lines = [line(day, cents) for day, cents in sorted(rows)]
    early = [row for row in lines if row.on.day <= cut]
    reached = 1000 + sum(row.cents for row in early)
    days = replace(DAYS, closing=1000 + sum(row.cents for row in lines))
    known = after(early, cut, reached) if 0 < cut < 31 else Known()
    checked = check(days, lines, known)
    assert checked.problems == ()
    new = [row for _, row in checked.lines]
    assert new == [row for row in lines if not known.until_on or row.on.day > cut]
    assert checked.given.opening + sum(row.cents for row in new) == days.closing
