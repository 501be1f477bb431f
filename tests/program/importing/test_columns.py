from __future__ import annotations

import pytest

from program.importing.columns import Column, Kind


def test_a_kind_says_what_may_stand_there() -> None:
    kinds = ("text:40", "whole:0..5000", "ref:findings,readings", "many:Unit", "yesno")
    assert [Column.parse("x", kind).allowed for kind in kinds] == [
        "text of up to 40 characters",
        "a whole number from 0 to 5,000",
        "a ref of findings or readings",
        "any of, with semicolons between: each, pair, set",
        "yes or no",
    ]


def test_a_ref_names_the_sheets_in_which_it_is_looked_for() -> None:
    assert Column.parse("clears", "refs:findings,readings").refers == ("findings", "readings")
    assert Column.parse("name", "text:40").refers == ()


def test_a_list_of_choices_that_is_not_there_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^“Color” is no list of choices\.$"):
        Column.parse("color", "one:Color")


def test_each_kind_can_be_said_to_a_person() -> None:
    rest = {"one": ":Stage", "many": ":System", "whole": ":1..2", "text": ":9", "ref": ":bays"}
    said = [Column.parse("x", kind + rest.get(kind, "")).allowed for kind in Kind]
    assert all(said)
