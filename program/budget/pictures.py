"""The picture of a budget: month by month, what was meant and what became of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from program.budget.variance import cumulative
from shared.charts import NARROW, WIDE, Chart, Drawing, Shape, box, line, words
from shared.money import MINUS, dollars
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from program.budget.fiscal import Year
    from program.budget.variance import Row
    from shared.say import Say

STEP: Final = 28  # pixels from one month to the next
TALL: Final = 18  # of a bar
LABEL_WIDE, LABEL_NARROW = 80, 40
ROOM_WIDE, ROOM_NARROW = 620, 200


def year_picture(rows: Sequence[Row], year: Year, *, income: bool) -> Chart:
    """Return income or costs added up month by month.

    Ink is what happened, hatching what the forecast adds, the frame the budget.
    """
    planned, happened, ahead = cumulative(rows)
    largest = max(*planned, *(a + b for a, b in zip(happened, ahead, strict=True)), 1)
    wide: list[Shape] = []
    narrow: list[Shape] = []
    for n, month in enumerate(year.months):
        parts = (planned[n], max(happened[n], 0), ahead[n])
        wide += _bar(parts, x=LABEL_WIDE, y=STEP * n, scale=ROOM_WIDE / largest)
        narrow += _bar(parts, x=LABEL_NARROW, y=STEP * n, scale=ROOM_NARROW / largest)
        total = happened[n] + ahead[n]
        wide += [
            words(0, STEP * n + 15, f"{month:%b %Y}", "lb"),
            words(WIDE - 2, STEP * n + 15, f"{dollars(total)} / {dollars(planned[n])}", "", "end"),
        ]
        narrow += [
            words(0, STEP * n + 15, f"{month:%b}", "lb"),
            words(NARROW - 2, STEP * n + 15, f"{_whole(total)} / {_whole(planned[n])}", "", "end"),
        ]
    return Chart(
        title=_title(planned, happened, ahead, income=income),
        wide=_over_key(wide, WIDE),
        narrow=_over_key(narrow, NARROW),
        heads=(say("Until the end of"), say("Budget"), say("Actual"), say("With the forecast")),
        rows=tuple(
            (
                f"{month:%B %Y}",
                dollars(planned[n]),
                dollars(happened[n]) if n < year.begun else "–",
                dollars(happened[n] + ahead[n]),
            )
            for n, month in enumerate(year.months)
        ),
    )


def _bar(parts: tuple[int, int, int], *, x: float, y: float, scale: float) -> list[Shape]:
    """Return a month's bar: the budget as frame and mark, ink for actual, hatching for the rest."""
    meant, ink, hatch = (round(part * scale, 1) for part in parts)
    shapes = [box("fs", x, y + 2, meant, TALL), box("fi", x, y + 2, ink, TALL)]
    if hatch:
        shapes.append(box("hatch", x + ink, y + 2, hatch, TALL))
    return [*shapes, line("ax2", f"M{x + meant:g} {y - 1:g}v{TALL + 6}")]


def _over_key(shapes: list[Shape], width: int) -> Drawing:
    """Return the bars with what ink, hatching and frame mean below."""
    y = STEP * 12 + 12
    key = [
        *(box("fi", 0, y, 16, 14), words(22, y + 12, say("actual"))),
        *(box("fs", 90, y, 16, 14), box("hatch", 90, y, 16, 14)),
        words(112, y + 12, say("forecast")),
        *(box("fs", 196, y, 16, 14), line("ax2", f"M212 {y - 3}v20")),
        words(220, y + 12, say("budget")),
    ]
    return Drawing(width=width, height=y + 20, shapes=(*shapes, *key))


def _title(
    planned: Sequence[int], happened: Sequence[int], ahead: Sequence[int], *, income: bool
) -> Say:
    values = {
        "actual": dollars(happened[-1]),
        "forecast": dollars(happened[-1] + ahead[-1]),
        "budget": dollars(planned[-1]),
    }
    if income:
        return say(
            "Came in by month: {actual} so far, {forecast} by the end of the year, {budget} meant",
            **values,
        )
    return say(
        "Went out by month: {actual} so far, {forecast} by the end of the year, {budget} meant",
        **values,
    )


def _whole(cents: int) -> str:
    """Return whole dollars, for a narrow place; half a dollar is rounded up."""
    whole = (abs(cents) + 50) // 100
    return f"{MINUS if cents < 0 else ''}{whole:,}"
