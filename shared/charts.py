"""Pictures as plain geometry: what is drawn where, for a wide page and for a phone.

A chart is computed here and drawn by `templates/shared/charts/`: ink is spent or sure, hatching is
set aside, empty is free. Its title says the content, and `rows` hold the same figures for a table.

>>> strokes(5, x=0, y=0).d
'M3 0v22M10 0v22M17 0v22M24 0v22M-2 18L29 4'
>>> tally([Step(label="in repair", count=2, longest_days=6)]).title.render(str)
'2 open cases by step: in repair 2'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shared.money import dollars
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Sequence

WIDE, NARROW = 960, 360
FIVE = 5
Text = str | Say


@dataclass(frozen=True, kw_only=True)
class Shape:
    """One thing drawn: a path (`d`), a circle (`r`), or words. `look` is its class in app.css."""

    look: str = ""
    d: str = ""
    x: float = 0
    y: float = 0
    r: float = 0
    words: Text = ""
    anchor: str = "start"
    hatched: bool = False


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """Shapes on a field of so many pixels, drawn one to one."""

    width: int
    height: int
    shapes: tuple[Shape, ...]


@dataclass(frozen=True, kw_only=True)
class Chart:
    """One picture in two drawings, the sentence that says it, and its figures as a table."""

    title: Say
    wide: Drawing
    narrow: Drawing
    heads: tuple[Text, ...]
    rows: tuple[tuple[Text, ...], ...]


@dataclass(frozen=True, kw_only=True)
class Step:
    """How many cases stand at one step, and the longest wait among them in days."""

    label: Text
    count: int
    longest_days: int = 0


@dataclass(frozen=True, kw_only=True)
class FundBar:
    """One fund's cents: set aside before, given by this plan, and left, which may be negative."""

    name: Text
    set_aside: int
    this_plan: int
    left: int


@dataclass(frozen=True, kw_only=True)
class WeekHours:
    """One week's shop time in minutes: what there is, and what is given out."""

    label: Text
    there: int
    given: int


def words(x: float, y: float, text: Text, look: str = "", anchor: str = "start") -> Shape:
    """Return words whose baseline starts (or ends, or has its middle) at a point."""
    return Shape(look=look, x=x, y=y, words=text, anchor=anchor)


def line(look: str, d: str) -> Shape:
    """Return a path."""
    return Shape(look=look, d=d)


def box(look: str, x: float, y: float, width: float, height: float) -> Shape:
    """Return a rectangle as a path; a hatched one has no frame of its own."""
    d = f"M{x:g} {y:g}h{width:g}v{height:g}h{-width:g}z"
    return Shape(d=d, hatched=True) if look == "hatch" else Shape(look=look, d=d)


def strokes(count: int, *, x: float, y: float) -> Shape:
    """Return a tally of `count` strokes; each fifth crosses the four before it."""
    parts = []
    for i in range(count):
        group, within = divmod(i, FIVE)
        left = x + 38 * group
        if within == FIVE - 1:
            parts.append(f"M{left - 2:g} {y + 18:g}L{left + 29:g} {y + 4:g}")
        else:
            parts.append(f"M{left + 3 + 7 * within:g} {y:g}v22")
    return Shape(look="st", d="".join(parts))


def _counted(step: Step, *, x: float, y: float, room: float) -> list[Shape]:
    """Return a step's strokes, whole fives while there is room, and the rest in figures."""
    fit = max(1, int(room // 38)) * FIVE
    drawn = min(step.count, fit)
    shapes = [strokes(drawn, x=x, y=y)] if drawn else []
    if step.count > drawn:
        shapes.append(words(x + 38 * (drawn // FIVE) - 4, y + 17, f"+{step.count - drawn}"))
    return shapes


def tally(steps: Sequence[Step]) -> Chart:
    """Return how many cases stand at which step: one stroke is one case."""
    every = WIDE / max(len(steps), 1)
    wide = [line("ax2", f"M4 42H{WIDE - 2}")]
    narrow = [line("ax2", f"M6 14V{38 * len(steps) - 20}")]
    for i, step in enumerate(steps):
        x, y = round(every * i, 1), 38 * i
        wide.append(Shape(look="fi", x=x + 4, y=42, r=4.5))
        wide += _counted(step, x=x, y=8, room=every - 20)
        wide += [words(x, 66 + 17 * n, part, "lb") for n, part in enumerate(_two_lines(step.label))]
        wide.append(words(x, 106, str(step.count), "bd"))
        wide.append(words(x + 8 + 8 * len(str(step.count)), 106, _wait(step)))
        narrow.append(Shape(look="fi", x=6, y=y + 16, r=4.5))
        narrow.append(words(22, y + 21, step.label, "lb"))
        narrow += _counted(step, x=150, y=y + 4, room=76)
        narrow.append(words(358, y + 21, str(step.count), "bd", "end"))
    total = sum(step.count for step in steps)
    listed = ", ".join(f"{step.label} {step.count}" for step in steps)
    return Chart(
        title=say("{count} open cases by step: {listed}", count=total, listed=listed),
        wide=Drawing(width=WIDE, height=112, shapes=tuple(wide)),
        narrow=Drawing(width=NARROW, height=38 * len(steps), shapes=tuple(narrow)),
        heads=(say("Step"), say("Cases"), say("Longest wait, days")),
        rows=tuple((s.label, str(s.count), str(s.longest_days) if s.count else "–") for s in steps),
    )


def _two_lines(label: Text) -> tuple[str, ...]:
    """Return a label on at most two lines, broken at its last space but one."""
    return tuple(str(label).split(" ", 1)) if len(str(label)) > 9 else (str(label),)  # noqa: PLR2004


def _wait(step: Step) -> Text:
    """Return the longest wait at a step, or nothing where nobody waits."""
    return say("up to {days} d", days=step.longest_days) if step.count else ""


def _segments(fund: FundBar, *, x: float, y: float, scale: float) -> list[Shape]:
    """Return a fund's bar: set aside hatched, this plan in ink, the rest empty."""
    before, now = fund.set_aside * scale, fund.this_plan * scale
    whole = before + now + max(fund.left, 0) * scale
    return [
        box("fs", x, y, round(whole, 1), 20),
        box("hatch", x, y, round(before, 1), 20),
        box("fi", round(x + before, 1), y, round(now, 1), 20),
    ]


def _key(y: float, *, planned: bool) -> list[Shape]:
    """Return what hatching, ink and empty mean, below the bars; ink only where a plan gives."""
    before = say("set aside before") if planned else say("set aside")
    shapes = [
        *(box("fs", 0, y, 16, 14), box("hatch", 0, y, 16, 14)),
        words(22, y + 12, before),
    ]
    if planned:
        shapes += [box("fi", 150, y, 16, 14), words(172, y + 12, say("this plan"))]
    left = 258 if planned else 150
    return [*shapes, box("fs", left, y, 16, 14), words(left + 22, y + 12, say("left"))]


def fund_bars(funds: Sequence[FundBar]) -> Chart:
    """Return each fund's money as a bar; all bars are drawn to one scale."""
    largest = max((f.set_aside + f.this_plan + max(f.left, 0) for f in funds), default=0) or 1
    wide: list[Shape] = []
    narrow: list[Shape] = []
    for i, fund in enumerate(funds):
        left = say("{amount} left", amount=dollars(fund.left))
        wide.append(words(0, 32 * i + 17, fund.name, "lb"))
        wide += _segments(fund, x=210, y=32 * i + 2, scale=620 / largest)
        end = 218 + (fund.set_aside + fund.this_plan + max(fund.left, 0)) * 620 / largest
        wide.append(words(round(end, 1), 32 * i + 17, left))
        narrow.append(words(0, 54 * i + 15, fund.name, "lb"))
        narrow.append(words(358, 54 * i + 15, left, "", "end"))
        narrow += _segments(fund, x=1, y=54 * i + 22, scale=357 / largest)
    listed = ", ".join(f"{fund.name} {dollars(fund.left)}" for fund in funds)
    planned = any(fund.this_plan for fund in funds)
    return Chart(
        title=say("Free money by fund: {listed}", listed=listed),
        wide=_over_key(wide, WIDE, 32 * len(funds) + 8, planned=planned),
        narrow=_over_key(narrow, NARROW, 54 * len(funds) + 6, planned=planned),
        heads=(say("Fund"), say("Set aside before"), say("This plan"), say("Left")),
        rows=tuple(
            (f.name, dollars(f.set_aside), dollars(f.this_plan), dollars(f.left)) for f in funds
        ),
    )


def _over_key(shapes: list[Shape], width: int, y: int, *, planned: bool) -> Drawing:
    """Return the bars with their key below."""
    return Drawing(width=width, height=y + 20, shapes=(*shapes, *_key(y, planned=planned)))


def clock(minutes: int) -> str:
    """Return minutes as `3:30`."""
    return f"{minutes // 60}:{minutes % 60:02}"


def hours_by_week(weeks: Sequence[WeekHours]) -> Chart:
    """Return the shop's hours, a bar a week: given out in ink, left empty."""
    largest = max((max(w.there, w.given) for w in weeks), default=0) or 1
    wide: list[Shape] = []
    narrow: list[Shape] = []
    for i, week in enumerate(weeks):
        left = say("{hours} left", hours=clock(max(week.there - week.given, 0)))
        for shapes, x, y, room in ((wide, 210, 32 * i + 2, 620), (narrow, 1, 54 * i + 22, 357)):
            there, given = (round(m * room / largest, 1) for m in (week.there, week.given))
            shapes += [box("fs", x, y, there, 20), box("fi", x, y, given, 20)]
        end = 218 + max(week.there, week.given) * 620 / largest
        wide += [words(0, 32 * i + 17, week.label, "lb"), words(round(end, 1), 32 * i + 17, left)]
        narrow.append(words(0, 54 * i + 15, week.label, "lb"))
        narrow.append(words(358, 54 * i + 15, left, "", "end"))
    listed = ", ".join(f"{w.label} {clock(w.given)} / {clock(w.there)}" for w in weeks)
    return Chart(
        title=say("Hours given out of hours there, by week: {listed}", listed=listed),
        wide=Drawing(width=WIDE, height=32 * len(weeks), shapes=tuple(wide)),
        narrow=Drawing(width=NARROW, height=54 * len(weeks), shapes=tuple(narrow)),
        heads=(say("Week of"), say("Hours there"), say("Given out"), say("Left")),
        rows=tuple(
            (w.label, clock(w.there), clock(w.given), clock(max(w.there - w.given, 0)))
            for w in weeks
        ),
    )
