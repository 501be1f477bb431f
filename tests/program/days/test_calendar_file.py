"""Calendars by RFC 5545 (from memory: the text was not at hand)."""

from __future__ import annotations

import datetime as dt
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from program.days.calendar_file import Event, calendar, escaped, folded, stamp

EIGHT = dt.datetime(2026, 12, 1, 13, tzinfo=dt.UTC)


def event(**fields: Any) -> Event:
    defaults: dict[str, Any] = {
        "uid": "booking-1-1@handback",
        "summary": "26-043 Front brakes",
        "where": "Bay 1",
        "begins_at": EIGHT,
        "ends_at": EIGHT + dt.timedelta(hours=1),
        "made_at": EIGHT - dt.timedelta(days=1),
    }
    return Event(**defaults | fields)


def unfolded(text: str) -> list[str]:
    """Read content lines back: RFC 5545, 3.1."""
    return text.replace("\r\n ", "").split("\r\n")[:-1]


def test_a_calendar_is_written_line_by_line() -> None:
    assert unfolded(calendar("Osier Street: the shop", [event()])) == [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Handback//Days//EN",
        "CALSCALE:GREGORIAN",
        "METHOD:PUBLISH",
        "X-WR-CALNAME:Osier Street: the shop",
        "BEGIN:VEVENT",
        "UID:booking-1-1@handback",
        "DTSTAMP:20261130T130000Z",
        "DTSTART:20261201T130000Z",
        "DTEND:20261201T140000Z",
        "SUMMARY:26-043 Front brakes",
        "LOCATION:Bay 1",
        "END:VEVENT",
        "END:VCALENDAR",
    ]


def test_every_line_ends_as_the_standard_asks() -> None:
    text = calendar("x", [event()])
    assert text.endswith("END:VCALENDAR\r\n")
    assert "\n" not in text.replace("\r\n", "")


@given(st.text(alphabet=st.characters(blacklist_categories=("Cs", "Cc")), max_size=300))
def test_no_line_is_longer_than_75_octets_and_none_loses_a_letter(text: str) -> None:
    pieces = folded(text).split("\r\n")
    assert all(len(piece.encode()) <= 75 for piece in pieces)
    assert pieces[0] + "".join(piece[1:] for piece in pieces[1:]) == text
    assert all(piece.startswith(" ") for piece in pieces[1:])


def test_the_standards_own_example_of_escaped_text() -> None:
    """RFC 5545, 3.3.11 (from memory): a project's text with commas, a line break, a semicolon."""
    text = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    assert escaped(text) == r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    assert escaped("a\\b;c,d") == r"a\\b\;c\,d"


def test_times_are_in_utc_whatever_their_zone() -> None:
    """RFC 5545, 3.3.5, form 2 (from memory): 19980119T070000Z."""
    east = dt.timezone(dt.timedelta(hours=-5))
    assert stamp(dt.datetime(1998, 1, 19, 2, tzinfo=east)) == "19980119T070000Z"


def test_events_stand_in_order_of_time_and_without_a_bay_no_place() -> None:
    later = event(uid="b", begins_at=EIGHT + dt.timedelta(minutes=30), where="")
    lines = unfolded(calendar("x", [later, event(uid="a")]))
    assert [line for line in lines if line.startswith(("UID", "LOC"))] == [
        "UID:a",
        "LOCATION:Bay 1",
        "UID:b",
    ]
