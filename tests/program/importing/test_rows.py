from __future__ import annotations

from datetime import date

import pytest

from program.importing.rows import Key, Row


def row(**values: object) -> Row:
    return Row(sheet="bays", number=2, ref="b1", values=values, typed={"name": "Bay 1"})


def test_a_fingerprint_knows_values_and_nothing_of_how_they_were_written() -> None:
    assert row(name="Bay 1", closed=None).fingerprint() == row(name="Bay 1").fingerprint()
    assert row(name="Bay 1").fingerprint() != row(name="Bay 2").fingerprint()
    assert row(closed=date(2026, 1, 2)).fingerprint() != row(closed=date(2026, 2, 1)).fingerprint()


def test_a_fault_says_where_it_stands_and_what_was_typed() -> None:
    fault = row().fault("name", "It is taken.", "Take another.")
    assert fault.as_dict() == {
        "sheet": "bays",
        "row": 2,
        "column": "name",
        "value": "Bay 1",
        "sentence": "It is taken.",
        "remedy": "Take another.",
        "ref": "b1",
    }


def test_a_cell_names_a_row_or_nothing() -> None:
    assert row(bay="b1").to("bay", "bays") == Key("bays", "b1")
    assert row(bay="").to("bay", "bays") is None


def test_the_name_of_a_row_is_read_as_it_is_written() -> None:
    assert Key.parse(str(Key("households", "h7"))) == Key("households", "h7")
    with pytest.raises(ValueError, match=r"^“h7” names no row\. Write sheet and ref, such as"):
        Key.parse("h7")
