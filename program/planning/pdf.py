"""The week as one sheet for the shop's wall: read from a step away, by everybody who comes in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import CondPageBreak

from program.planning.pictures import bay_board
from shared.charts import clock
from shared.dates import long_date, short_date
from shared.documents.drawn import picture
from shared.documents.grid import Column, table
from shared.documents.pdf import Paper, build, letterhead
from shared.documents.pieces import HEADING, ROOM, Boxed, Columns, Look, heading, over_table, words

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from program.planning.outcome import Stay
    from program.planning.sheet import HomeRow, WaitRow, WeekSheet

GAP = 16
SMALL = 8
A_PAGE = 60  # parts in two columns that one page holds, a few of them in two lines
# The usual cautions, short. Source: 29 CFR 1910.244(a) for jacks (text-seen); the rest is
# common practice, no source.
SAFE = (
    "Nobody under a raised car before it rests on the lift's locks or on stands. Nobody works"
    " alone under one. Smell of fuel, smoke, a stand that moves: step back and call the shop lead."
)
DECIDE = (
    "This sheet supports decisions. A licensed or certified technician and local law decide;"
    " no car leaves before its final inspection."
)


def wall_sheet(sheet: WeekSheet, *, garage: str) -> bytes:
    """Return the plan as a PDF, landscape letter. No household is named: volunteers read it."""
    paper = Paper(
        garage=garage,
        title=sheet.headline,
        number=f"Plan {sheet.number}" if sheet.approved else f"Plan {sheet.number}, draft",
        day=sheet.made_on,
    )
    return build(paper, lambda: _story(sheet, paper))


def _story(sheet: WeekSheet, paper: Paper) -> list[Flowable]:
    lead = f"{long_date(sheet.first_on)} to {long_date(sheet.last_on)}."
    if not sheet.approved:
        lead += " Not approved yet: dates and parts may change."
    return [
        *letterhead(paper, lead),
        *_homes(sheet),
        *_bays(sheet, paper),
        CondPageBreak(ROOM),
        Columns(
            [(440, _waits(sheet)), (paper.width - 440 - GAP, [*_hours(sheet), _cautions()])],
            gap=GAP,
            tallest=paper.height,
        ),
        *_parts(sheet, paper),
    ]


def _cautions() -> Boxed:
    return Boxed([words(SAFE, Look(size=SMALL, bold=True)), words(DECIDE, Look(size=SMALL))])


def _homes(sheet: WeekSheet) -> list[Flowable]:
    """Return what is worked on, first things first, and when each car goes home."""
    stays = {stay.case_id: stay for stay in reversed(sheet.stays)}
    rows = [_home(row, stays.get(row.number)) for row in _in_turn(sheet.homes, stays)]
    columns = [
        *(Column(head="Start", width=62), Column(head="Bay", width=42)),
        *(Column(head="Case", width=46, bold=True, names=True), Column(head="Car", width=140)),
        Column(head="Work left", width=290),
        *(
            Column(head="Hours", width=46, right=True),
            Column(head="Goes home", width=98, bold=True),
        ),
    ]
    if not rows:
        return [words("No car can go home with this money, these hours and these parts.")]
    return [
        *over_table("What to do first, and when each car goes home"),
        table(columns, rows, size=8.5),
    ]


def _in_turn(homes: Sequence[HomeRow], stays: dict[str, Stay]) -> list[HomeRow]:
    """Return the cars by the day their work starts; one that needs no bay by the day it leaves."""

    def turn(row: HomeRow) -> tuple[dt.date, str]:
        return (stays[row.number].first_on if row.number in stays else row.from_on, row.number)

    return sorted(homes, key=turn)


def _home(row: HomeRow, stay: Stay | None) -> tuple[str, ...]:
    return (
        f"{stay.first_on:%a} {short_date(stay.first_on)}" if stay else "–",
        stay.bay if stay else "none",
        row.number,
        row.car,
        row.work,
        clock(row.minutes),
        row.days,
    )


def _bays(sheet: WeekSheet, paper: Paper) -> list[Flowable]:
    if not sheet.stays:
        return []
    cars = {row.number: row.car.partition(" ")[2] for row in sheet.homes}
    return [heading("Bays by day"), picture(bay_board(sheet, cars), paper.width)]


def _waits(sheet: WeekSheet) -> list[Flowable]:
    rows = [(row.number, row.car, _lacks(row)) for row in (*sheet.held, *sheet.waits)]
    columns = [
        Column(head="Case", width=46, bold=True),
        *(Column(head="Car", width=140), Column(head="What it lacks", width=254)),
    ]
    return _listed("Waits", columns, rows, "No car waits.")


def _lacks(row: WaitRow) -> str:
    """Return the one thing that a car lacks as a sentence."""
    text = row.lacks[:1].upper() + row.lacks[1:]
    return text if text.endswith(".") else f"{text}."


def _parts(sheet: WeekSheet, paper: Paper) -> list[Flowable]:
    """Return the parts in two columns, each with a box for the day it is there."""
    rows = [
        (
            "☐",
            short_date(row.by_on),
            row.number,
            row.part if row.count == 1 else f"{row.count} × {row.part}",
            row.source,
        )
        for row in sheet.parts
    ]
    if not rows:
        return []
    wide = (paper.width - GAP) / 2
    columns = [
        *(Column(head="", width=16), Column(head="By", width=40)),
        Column(head="Case", width=46, bold=True),
        *(Column(head="Part", width=124, names=True), Column(head="From", width=wide - 226)),
    ]
    pages = [rows[first : first + A_PAGE] for first in range(0, len(rows), A_PAGE)]
    beside = [
        Columns(
            [(wide, [table(columns, some, size=SMALL, pad=1.5)]) for some in _halves(page)],
            gap=GAP,
            tallest=paper.height - 40,
        )
        for page in pages
    ]
    return [heading("Parts to expect: tick what is there"), *beside]


def _halves(rows: Sequence[tuple[str, ...]]) -> list[Sequence[tuple[str, ...]]]:
    half = -(-len(rows) // 2)
    return [some for some in (rows[:half], rows[half:]) if some]


def _hours(sheet: WeekSheet) -> list[Flowable]:
    rows = [
        (short_date(week.starts_on), clock(week.minutes_used), clock(week.minutes_there))
        for week in sheet.weeks
    ]
    columns = [
        Column(head="Week of", width=92),
        Column(head="Given out", width=88, right=True),
        Column(head="There", width=88, right=True),
    ]
    return _listed("Hours by week", columns, rows, "No hours are given out.")


def _listed(
    title: str, columns: Sequence[Column], rows: Sequence[Sequence[str]], none: str
) -> list[Flowable]:
    """Return a small table under its heading, or the sentence that it is empty."""
    shown = table(columns, rows, size=SMALL, pad=1) if rows else words(none, Look(size=SMALL))
    # Not kept with its table: a long one would leave the rest of the page empty.
    return [words(title, HEADING, role="H2"), shown]
