"""CSV that a spreadsheet takes for text and numbers, and reads back as it was."""

from __future__ import annotations

import csv
from datetime import date
from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.ledger.csv_text import amount, csv_text, guarded, unguarded


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_text_that_starts_a_formula_is_guarded(start: str) -> None:
    assert guarded(f"{start}SUM(A1)") == f"'{start}SUM(A1)"


@pytest.mark.parametrize("number", [-5, amount(-1250), "-12.50", "0"])
def test_a_real_number_stays_a_number(number: object) -> None:
    assert guarded(number) == str(number)  # type: ignore[arg-type]  # any cell


@pytest.mark.parametrize("text", ["-1+1", "+15551234", "-", "-1e5", "-1.2.3"])
def test_what_only_resembles_a_number_is_guarded(text: str) -> None:
    assert guarded(text) == f"'{text}"


def test_amounts_are_plain_decimals_with_two_places() -> None:
    assert [str(amount(cents)) for cents in (0, 5, -124050, 10**12)] == [
        "0.00",
        "0.05",
        "-1240.50",
        "10000000000.00",
    ]


def test_lines_end_and_quotes_double_as_the_standard_says() -> None:
    # RFC 4180 section 2, rules 1, 6 and 7 (from memory).
    rows = [['a "b", c', "two\r\nlines", None, date(2026, 11, 30)]]
    text = csv_text(["one", "two", "three", "four"], rows)
    assert text == 'one,two,three,four\r\n"a ""b"", c","two\r\nlines",,2026-11-30\r\n'


def test_the_byte_order_mark_is_left_out() -> None:
    assert csv_text(["é"], []).encode() == b"\xc3\xa9\r\n"


@given(st.lists(st.lists(st.text(), min_size=2, max_size=2)))
def test_every_text_comes_back_as_it_was(rows: list[list[str]]) -> None:
    written = StringIO(csv_text(["a", "b"], rows), newline="")
    read = list(csv.reader(written))[1:]
    assert [[unguarded(cell) for cell in row] for row in read] == rows


@given(st.text())
def test_no_cell_starts_a_formula(text: str) -> None:
    written = guarded(text)
    number = written.removeprefix("-").replace(".", "", 1)
    assert written[:1] not in {"=", "+", "@", "\t", "\r", "\n"}
    assert not written.startswith("-") or number.isdecimal()
