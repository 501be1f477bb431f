from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.importing.reading import read_sheet
from program.importing.sheets import SHEETS

if TYPE_CHECKING:
    from program.importing.rows import Row


def read(content: bytes, name: str = "bays") -> tuple[list[Row], list[tuple[int, str, str]]]:
    rows, faults = read_sheet(SHEETS[name], content)
    return rows, [(fault.row, fault.column, fault.sentence) for fault in faults]


HEADER = b"ref,name,has_lift,closed\n"
PLAIN = HEADER + b"b1,Bay 1,yes,\nb2,Bay 2,no,2026-03-01\n"
WRITTEN = {
    "plain": PLAIN,
    "with a mark": b"\xef\xbb\xbf" + PLAIN,
    "crlf": PLAIN.replace(b"\n", b"\r\n"),
    "cr": PLAIN.replace(b"\n", b"\r"),
    "semicolons": PLAIN.replace(b",", b";"),
    "us dates": PLAIN.replace(b"2026-03-01", b"3/1/2026"),
    "quoted": PLAIN.replace(b"Bay 1", b'"Bay 1"'),
    "empty lines at the end": PLAIN + b"\n,,,\n\n",
    "capitals in the header": PLAIN.replace(b"has_lift", b"Has lift"),
    "no newline at the end": PLAIN.rstrip(b"\n"),
    "empty columns": PLAIN.replace(b"\n", b",,\n"),
}


@pytest.mark.parametrize("how", WRITTEN)
def test_a_sheet_is_the_same_however_a_spreadsheet_writes_it(how: str) -> None:
    rows, faults = read(WRITTEN[how])
    expected, _ = read(PLAIN)
    assert faults == []
    assert [one.fingerprint() for one in rows] == [one.fingerprint() for one in expected]
    assert [one.number for one in rows] == [2, 3]


def test_rows_are_numbered_as_the_spreadsheet_shows_them() -> None:
    rows, faults = read(HEADER + b'b1,"Bay\n1",yes,\n\nb2,Bay 2,no,\n')
    assert [(one.number, one["name"]) for one in rows] == [(2, "Bay\n1"), (4, "Bay 2")]
    assert faults == []


def test_a_character_in_another_encoding_names_its_row() -> None:
    rows, faults = read(HEADER + b"b1,Bay 1,no,\nb2,Caf\xe9,no,\n")
    assert rows == []
    assert faults == [(3, "", "Row 3 holds a character that is not written in UTF-8.")]


def test_unicode_text_of_a_spreadsheet_is_refused_too() -> None:
    _, faults = read(PLAIN.decode().encode("utf-16"))
    assert faults == [(1, "", "Row 1 holds a character that is not written in UTF-8.")]


def test_a_missing_column_is_one_problem_and_not_one_a_row() -> None:
    _, faults = read(b"ref,has_lift\nb1,yes\nb2,no\n")
    assert faults == [(1, "name", "The column “name” is missing.")]


def test_an_unknown_column_names_the_nearest_one() -> None:
    _, faults = read(b"ref,name,has_lfit\nb1,Bay 1,yes\n")
    sentence = "The sheet bays has no column “has_lfit”. Likely meant: has_lift."
    assert faults == [(1, "has_lfit", sentence)]


def test_a_column_that_stands_there_twice_is_refused() -> None:
    _, faults = read(b"ref,name,name\nb1,Bay 1,Bay 2\n")
    assert faults == [(1, "name", "The column “name” stands there twice.")]


def test_each_bad_cell_of_a_row_is_told() -> None:
    rows, faults = read(HEADER + b",,perhaps,someday\n")
    assert sorted(faults) == [
        (2, "closed", "“someday” is not a date. Type 2026-12-01 or 12/1/2026."),
        (2, "has_lift", "“perhaps” is neither yes nor no."),
        (2, "name", "The cell “name” is empty."),
        (2, "ref", "The cell “ref” is empty."),
    ]
    assert rows[0].broken == {"ref", "name", "has_lift", "closed"}


def test_a_cell_without_a_column_is_told() -> None:
    _, faults = read(HEADER + b"b1,Bay 1, north,yes,,\n")
    assert faults[0] == (2, "has_lift", "“north” is neither yes nor no.")
    _, faults = read(HEADER + b"b1,Bay 1,yes,,extra\n")
    assert faults == [(2, "", "This cell stands under no column name.")]


def test_a_quotation_mark_that_is_not_closed_names_its_row() -> None:
    _, faults = read(HEADER + b'b1,Bay 1,no,\nb2,"Bay 2,no,\n')
    assert faults == [(3, "", "Row 3 can't be read as CSV: unexpected end of data.")]


def test_an_empty_file_says_how_to_begin() -> None:
    _, faults = read(b"")
    assert faults == [(0, "", "The sheet is empty; it has no row of column names.")]


CELL = st.text(
    st.characters(exclude_categories=("Cs", "Cc"), include_characters="\n"), max_size=30
).map(str.strip)


@given(st.lists(CELL.filter(bool), min_size=1, max_size=5), st.sampled_from(",;"))
def test_what_a_csv_writer_writes_is_read_back(names: list[str], comma: str) -> None:
    # Source: Python's csv module as the writer, which follows RFC 4180 (from memory).
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=comma)
    writer.writerow(["ref", "name"])
    writer.writerows([f"b{number}", name] for number, name in enumerate(names))
    for encoding in ("utf-8", "utf-8-sig"):
        rows, faults = read(text.getvalue().encode(encoding))
        assert faults == []
        assert [one["name"] for one in rows] == names
