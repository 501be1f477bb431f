"""Estimate against actual as a picture: each job a dot, on the line what came as it was likely."""

from __future__ import annotations

from math import log10
from typing import TYPE_CHECKING, Final

from shared.charts import NARROW, WIDE, Chart, Drawing, Shape, line, words
from shared.say import say
from vehicles.estimates.actuals import Kind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from vehicles.estimates.actuals import Job

SHOWN: Final = 400  # dots beyond are left to the table
LEFT, FOOT, TOP = 58, 46, 24
TICKS: Final = {
    Kind.LABOR: (15, 30, 60, 120, 240, 480, 960),
    Kind.CASH: (5_00, 20_00, 80_00, 320_00, 1_280_00),
}
HEIGHTS: Final = {WIDE: 420, NARROW: 360}


def plot(jobs: Sequence[Job], kind: Kind) -> Chart:
    """Return jobs that count as dots, both scales logarithmic: above the line it came to more."""
    shown = [job for job in jobs if job.counts][:SHOWN]
    amounts = [one for job in shown for one in (job.likely, job.actual)]
    ticks = TICKS[kind]
    ends = (min([*amounts, ticks[1]]) * 0.9, max([*amounts, ticks[3]]) * 1.1)
    above = sum(job.actual > job.likely for job in shown)
    return Chart(
        title=say(
            "{kind}, {count} jobs that are done: {above} came to more than was likely",
            kind=kind.label,
            count=len(shown),
            above=above,
        ),
        wide=_drawing(shown, kind, ends, WIDE),
        narrow=_drawing(shown, kind, ends, NARROW),
        heads=(say("Job"), say("Likely"), say("Came to")),
        rows=tuple(
            (job.title, _figure(job.likely, kind), _figure(job.actual, kind)) for job in shown
        ),
    )


def _drawing(jobs: Sequence[Job], kind: Kind, ends: tuple[float, float], width: int) -> Drawing:
    height = HEIGHTS[width]
    low, high = (log10(one) for one in ends)

    def x(amount: float) -> float:
        return round(LEFT + (log10(amount) - low) / (high - low) * (width - LEFT - 12), 1)

    def y(amount: float) -> float:
        room = height - FOOT - TOP
        return round(height - FOOT - (log10(amount) - low) / (high - low) * room, 1)

    bottom = height - FOOT
    shapes = [
        words(0, 13, say("Came to"), "lb"),
        words(width - 2, height - 4, say("Likely"), "lb", "end"),
        line("ax2", f"M{LEFT} {TOP}V{bottom}H{width - 2}"),
        line("hl", f"M{x(ends[0])} {y(ends[0])}L{x(ends[1])} {y(ends[1])}"),
    ]
    for amount in TICKS[kind]:
        if ends[0] <= amount <= ends[1]:
            shapes += _tick(_figure(amount, kind), x(amount), y(amount), bottom)
    shapes += [Shape(look="fi", x=x(job.likely), y=y(job.actual), r=3.5) for job in jobs]
    return Drawing(width=width, height=height, shapes=tuple(shapes))


def _tick(label: str, x: float, y: float, bottom: float) -> list[Shape]:
    return [
        line("ax2", f"M{x:g} {bottom}v5"),
        line("ax2", f"M{LEFT} {y:g}h-5"),
        words(x, bottom + 20, label, "", "middle"),
        words(LEFT - 9, y + 5, label, "", "end"),
    ]


def _figure(amount: int, kind: Kind) -> str:
    if kind is Kind.LABOR:
        return f"{amount // 60}:{amount % 60:02}"
    return f"{amount / 100:,.2f}"
