"""The statements on paper."""

from __future__ import annotations

import datetime as dt
from io import BytesIO
from typing import Any

from pypdf import PdfReader

from program.statements.pdf import Printed, paper
from program.statements.sheets import funds_sheet, trial_sheet
from program.statements.ties import Tie, ties
from shared.say import say
from tests.program.ledger.making import pairs
from tests.program.statements.booked import booked, found

BOOKS = booked(pairs([("1010", "4010", 9_876_543), ("6010", "1010", 1_200)]))


def printed(**fields: Any) -> Printed:
    made: dict[str, Any] = {
        "garage": "Osier Street Garage",
        "sheets": (trial_sheet(BOOKS), funds_sheet(BOOKS)),
        "ties": tuple(ties(found(BOOKS))),
        "from_on": BOOKS.from_on,
        "until_on": BOOKS.until_on,
        "reserve": 2_100_00,
        "by": "Jonas Okeke",
        "at": dt.datetime(2026, 11, 30, 10, 5, tzinfo=dt.UTC),
    }
    return Printed(**(made | fields))


def read(report: Printed) -> list[str]:
    """Return the words of each page."""
    pages = PdfReader(BytesIO(paper(report))).pages
    return [" ".join(page.extract_text().split()) for page in pages]


def test_the_first_page_says_who_printed_it_when_and_that_it_ties() -> None:
    first = read(printed())[0]
    assert "Printed by Jonas Okeke on Monday, November 30, 2026 at 10:05." in first
    assert "Everything ties: 11 checks" in first
    assert "Not audited." in first
    assert "Page 1 of 3" in first


def test_each_page_says_of_which_days_it_is() -> None:
    foot = (
        "Osier Street Garage. Jan 1, 2026 to Dec 31, 2026, not audited, Monday, November 30, 2026."
    )
    assert [foot in page for page in read(printed())] == [True] * 3


def test_what_does_not_tie_stands_first_and_in_capitals() -> None:
    wrong = Tie(what=say("Debits equal credits."), left=500, right=700, where="general fund")
    first = read(printed(ties=(wrong, *ties(found(BOOKS)))))[0]
    assert "1 of 12 checks do not tie" in first
    assert "DOES NOT TIE Debits equal credits. general fund 5.00 7.00" in first


def test_each_statement_begins_a_page_and_the_notes_end_the_last() -> None:
    _, trial, funds = read(printed())
    assert "Page 2 of 3 Trial balance What each account holds" in trial
    assert "Page 3 of 3 Funds How each fund came" in funds
    assert "Notes Basis: accrual." in funds
    assert "The board keeps $2,100.00 as a reserve" in funds


def test_millions_keep_to_one_line() -> None:
    assert "9,876,543.00" in read(printed())[2]


def test_one_statement_alone_has_its_own_title() -> None:
    pages = read(printed(sheets=(trial_sheet(BOOKS),)))
    assert "Page 1 of 1 Trial balance Thursday, January 1, 2026" in pages[0]
    assert "Financial statements" not in " ".join(pages)


def test_the_same_figures_give_the_same_bytes() -> None:
    assert paper(printed()) == paper(printed())
