from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.importing.columns import Column
from program.importing.values import read


def value(kind: str, text: str) -> Any:
    return read(Column.parse("cell", kind), text)


@pytest.mark.parametrize(
    ("kind", "text", "expected"),
    [
        ("date", "2026-12-01", date(2026, 12, 1)),
        ("date", " 12/1/2026 ", date(2026, 12, 1)),
        ("usd", "$1,240.50", 124050),
        ("usd", "0", 0),
        ("hours", "7.5", 450),
        ("hours", "0.25", 15),
        ("whole:0..999999", "148,210", 148210),
        ("yesno", "No", False),
        ("one:Stage", "Being served", "being_served"),
        ("many:System", "tires; Brakes", ("brakes", "tires")),
        ("codes", "a" * 40, ("a" * 40,)),
        ("codes", "Alder County;  rural ", ("alder county", "rural")),
        ("gives", " ; brakes;", ("brakes/",)),
        ("gives", "cooling; battery/Battery", ("battery/battery", "cooling/")),
        ("refs:bays", "b2; b1", ("b1", "b2")),
        ("state", "oh", "OH"),
        ("zone", "America/New_York", "America/New_York"),
        ("speed", "h", "H"),
        ("text:20", "two\r\nlines", "two\nlines"),
        ("code:40", "Brake pads", "brake_pads"),
    ],
)
def test_a_cell_is_read(kind: str, text: str, expected: object) -> None:
    assert value(kind, text) == expected


@pytest.mark.parametrize(
    ("kind", "text", "sentence"),
    [
        ("date", "2026-02-30", "“2026-02-30” is not a date. Type 2026-12-01 or 12/1/2026."),
        ("date", "0206-12-01", "“0206-12-01” lies outside the years 1900 to 2099."),
        ("monday", "2026-12-01", "2026-12-01 is a Tuesday; that week's Monday is 2026-11-30."),
        ("usd", "-3", "−$3.00 is below zero."),
        ("usd+", "0.00", "$0.00 can't be moved."),
        ("hours", "169", "“169” is not a number of hours in a week."),
        ("whole:1..99", "0", "0 is not possible; it lies between 1 and 99."),
        ("whole:1..99", "1.5", "“1.5” is not a whole number."),
        ("whole:1..99", "9" * 5000, f"{'9' * 5000} is not possible; it lies between 1 and 99."),
        ("yesno", "maybe", "“maybe” is neither yes nor no."),
        (
            "one:Step",
            "repiar",
            "“repiar” is not one of the words known here. Likely meant: repair.",
        ),
        ("refs:bays", "b1; b1", "“b1” stands there twice."),
        ("ref_own", "b 1", "“b 1” can't be a ref."),
        ("email", "bea@osier", "“bea@osier” is not a mail address."),
        ("state", "Ohio", "“Ohio” is not the two letters of a state."),
        ("zone", "Ohio", "“Ohio” is not the name of a time zone."),
        ("codes", f"rural; {'a' * 41}", f"“{'a' * 41}” has more than 40 characters."),
        ("case_number", "041", "“041” is not a case number."),
        (
            "criterion",
            "tire-tred",
            "“tire-tred” is not a criterion of the catalogue. Likely meant: tire-tread.",
        ),
        ("account", "1", "There is no account 1."),
        ("tire", "big", "“big” is not a tire size."),
        ("speed", "7", "“7” is not a speed symbol."),
        ("text:3", "long", "The text has 4 characters; 3 are the most."),
        ("text:9", "a\x00b", "The cell holds a character that can't be printed."),
        ("code:40", "ö", "“ö” is not a code: letters, digits and _ only."),
    ],
)
def test_what_can_not_stand_in_a_cell_is_refused(kind: str, text: str, sentence: str) -> None:
    with pytest.raises(ValueError, match=r".") as refusal:
        value(kind, text)
    assert str(refusal.value) == sentence


@given(st.integers(min_value=0, max_value=10**11))
def test_an_amount_is_read_to_the_cent(cents: int) -> None:
    assert value("usd", f"{cents // 100:,}.{cents % 100:02}") == cents


@given(st.dates(min_value=date(1950, 1, 1), max_value=date(2099, 12, 31)))
def test_a_day_is_the_same_written_either_way(day: date) -> None:
    assert (
        value("date", f"{day.month}/{day.day}/{day.year}") == value("date", day.isoformat()) == day
    )


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused_with_a_sentence(text: str) -> None:
    said = []
    for kind in ("date", "usd", "whole:0..9", "refs:bays", "gives", "hours", "email", "tire"):
        try:
            value(kind, text)
        except ValueError as error:
            said.append(str(error))
    assert [one for one in said if not one.endswith(".")] == []
