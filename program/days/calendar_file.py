r"""Bookings as a calendar that other programs read. No household is named.

Source: RFC 5545 (iCalendar, 2009): content lines 3.1, text 3.3.11, VCALENDAR 3.4, VEVENT 3.6.1,
UID 3.8.4.7, DTSTAMP 3.8.7.2 (from memory).

>>> from datetime import datetime, timezone
>>> event = Event(uid="booking-7@osier", summary="26-043 Front brakes, left", where="Bay 1",
...               begins_at=datetime(2026, 12, 1, 14, tzinfo=timezone.utc),
...               ends_at=datetime(2026, 12, 1, 15, tzinfo=timezone.utc),
...               made_at=datetime(2026, 11, 30, 9, tzinfo=timezone.utc))
>>> lines = calendar("The shop", [event]).split("\r\n")
>>> lines[0], lines[-3], lines[-2]
('BEGIN:VCALENDAR', 'END:VEVENT', 'END:VCALENDAR')
>>> [line for line in lines if line.startswith(("SUMMARY", "DTSTART"))]
['DTSTART:20261201T140000Z', 'SUMMARY:26-043 Front brakes\\, left']
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

END = "\r\n"
LONGEST = 75  # octets of one line without its end: RFC 5545, 3.1


@dataclass(frozen=True, kw_only=True)
class Event:
    """One booking. `uid` stays the same for good; the times have a zone."""

    uid: str
    summary: str
    where: str
    begins_at: datetime
    ends_at: datetime
    made_at: datetime


def calendar(name: str, events: Iterable[Event]) -> str:
    """Return the whole file, in order of time and then of `uid`."""
    rows = sorted(events, key=lambda event: (event.begins_at, event.uid))
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Handback//Days//EN",
        "CALSCALE:GREGORIAN",
        "METHOD:PUBLISH",
        f"X-WR-CALNAME:{escaped(name)}",
        *(line for event in rows for line in _event(event)),
        "END:VCALENDAR",
    ]
    return "".join(folded(line) + END for line in lines)


def _event(event: Event) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{escaped(event.uid)}"
    yield f"DTSTAMP:{stamp(event.made_at)}"
    yield f"DTSTART:{stamp(event.begins_at)}"
    yield f"DTEND:{stamp(event.ends_at)}"
    yield f"SUMMARY:{escaped(event.summary)}"
    if event.where:
        yield f"LOCATION:{escaped(event.where)}"
    yield "END:VEVENT"


def stamp(moment: datetime) -> str:
    """Return a moment in UTC, as RFC 5545, 3.3.5, form 2, writes it.

    >>> from datetime import timezone
    >>> stamp(datetime(1998, 1, 19, 7, tzinfo=timezone.utc))
    '19980119T070000Z'
    """
    return f"{moment.astimezone(UTC):%Y%m%dT%H%M%SZ}"


def escaped(text: str) -> str:
    r"""Return text with what means something else in a line marked: RFC 5545, 3.3.11.

    >>> escaped("one; two, three\nfour")
    'one\\; two\\, three\\nfour'
    """
    for char in ("\\", ";", ","):
        text = text.replace(char, f"\\{char}")
    return text.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")


def folded(line: str) -> str:
    """Return a line cut after 75 octets at most, each further piece after one space: 3.1.

    No character is cut in two.
    """
    pieces, piece, room = [], "", LONGEST
    for char in line:
        if len((piece + char).encode()) > room:
            pieces.append(piece)
            piece, room = "", LONGEST - 1
        piece += char
    return f"{END} ".join([*pieces, piece])
