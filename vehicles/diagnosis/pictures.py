"""A diagnosis as pictures: how likely each fault is, now and before anything was seen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from shared.charts import NARROW, WIDE, Chart, Drawing, Shape, box, line, words
from shared.say import say
from vehicles.diagnosis.layout import drawing, lay_out

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shared.say import Say
    from vehicles.diagnosis.looking import Looking
    from vehicles.diagnosis.values import Bar, Session

LETTER: Final = 7.1  # how wide a letter of the text face is at 14 px, on average of long titles
LONGEST: Final = 52  # letters of a title in the picture; the whole title stands in the figures
ROW, PHONE_ROW = 30, 46
LEAST_SHARE: Final = 0.02  # of a fault in the graph


def likelihood_bars(bars: Sequence[Bar], seen: int) -> Chart:
    """Return each fault's probability as a bar, with a diamond where it stood at the beginning.

    The last bar, of what is not listed, is hatched: nobody can repair it.
    """
    labels = [_short(bar.title) for bar in bars]
    left = 60 + round(LETTER * max(map(len, labels), default=0))
    largest = max((max(bar.now, bar.before) for bar in bars), default=0) or 1
    wide: list[Shape] = []
    narrow: list[Shape] = []
    for i, (bar, label) in enumerate(zip(bars, labels, strict=True)):
        look = "bd" if i == 0 and not bar.unlisted else ""
        y = ROW * i
        wide += [words(0, y + 16, label, look), words(left - 12, y + 16, bar.figure, "bd", "end")]
        wide += _bar(bar, left, y + 3, 16, (WIDE - left - 8) / largest, mark=bool(seen))
        y = PHONE_ROW * i
        narrow += [words(0, y + 14, label, look), words(358, y + 33, bar.figure, "bd", "end")]
        narrow += _bar(bar, 0, y + 21, 14, 280 / largest, mark=bool(seen))
    bottom = ROW * len(bars)
    wide.append(line("ax2", f"M{left} 0V{bottom}"))
    key = say("before anything was seen")
    if seen:
        wide += [_diamond(left + 4, bottom + 11), words(left + 18, bottom + 16, key, "lb")]
        low = PHONE_ROW * len(bars)
        narrow += [_diamond(4, low + 7), words(18, low + 12, key, "lb")]
    foot = 22 if seen else 0
    return Chart(
        title=_title(bars),
        wide=Drawing(width=WIDE, height=bottom + foot, shapes=tuple(wide)),
        narrow=Drawing(width=NARROW, height=PHONE_ROW * len(bars) + foot, shapes=tuple(narrow)),
        heads=(say("Fault"), say("Now, in 100"), say("Before, in 100")),
        rows=tuple((bar.title, bar.figure, bar.figure_before) for bar in bars),
    )


def _bar(bar: Bar, x: float, y: float, high: float, scale: float, *, mark: bool) -> list[Shape]:
    look = "hatch" if bar.unlisted else "fi"
    shapes = [box(look, x, y, max(round(bar.now * scale, 1), 1), high)]
    if mark:
        at = round(x + bar.before * scale, 1)
        shapes += [line("hl", f"M{at} {y - 3:g}v{high + 6:g}"), _diamond(at, y + high / 2)]
    return shapes


def _diamond(x: float, y: float) -> Shape:
    return line("fs", f"M{x - 4:g} {y:g}l4 -4 4 4 -4 4z")


def _short(title: str) -> str:
    return title if len(title) <= LONGEST else title[: LONGEST - 1].rstrip() + "…"


def _title(bars: Sequence[Bar]) -> Say:
    listed = ", ".join(f"{bar.title} {bar.figure}" for bar in bars)
    return say("Probability in percent: {listed}", listed=listed)


def graph_of_faults(session: Session, found: Looking) -> Chart:
    """Return what brings about what, what was seen, and the check that comes next."""
    shares = {bar.code: bar.now for bar in found.bars if bar.code and bar.now >= LEAST_SHARE}
    wide, narrow = (
        drawing(lay_out(session.model, shares, session.observed, found.upcoming, narrow=phone))
        for phone in (False, True)
    )
    listed = ", ".join(session.model.fault(code).title for code in shares)
    return Chart(
        title=say("Faults, what they bring about, and what was seen: {listed}", listed=listed),
        wide=wide,
        narrow=narrow,
        heads=(say("Fault"), say("Now, in 100")),
        rows=tuple((bar.title, bar.figure) for bar in found.bars),
    )
