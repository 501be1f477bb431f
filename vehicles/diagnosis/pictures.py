"""A diagnosis as pictures: how likely each fault is, now and before anything was seen."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from shared.charts import NARROW, WIDE, Chart, Drawing, Shape, box, line, words
from shared.say import say
from vehicles.diagnosis.inference import Reasoner
from vehicles.diagnosis.layout import drawing, lay_out
from vehicles.diagnosis.learning import NOT_LISTED
from vehicles.diagnosis.likelihood import figure, word
from vehicles.diagnosis.values import Bar

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shared.say import Say
    from vehicles.diagnosis.calibration import Bin
    from vehicles.diagnosis.fault_model import FaultModel
    from vehicles.diagnosis.learning import Learned
    from vehicles.diagnosis.looking import Looking
    from vehicles.diagnosis.values import Session

LETTER: Final = 7.1  # how wide a letter of the text face is at 14 px, on average of long titles
FIGURES: Final = 112  # the room for a figure behind the titles
LONGEST: Final = 52  # letters of a title in the picture; the whole title stands in the figures
ROW, PHONE_ROW = 30, 46
LEAST_SHARE: Final = 0.02  # of a fault in the graph
BEFORE: Final = say("before anything was seen")


def likelihood_bars(
    bars: Sequence[Bar],
    seen: int,
    key: Say = BEFORE,
    *,
    letter: float = LETTER,
    figures: int = FIGURES,
) -> Chart:
    """Return each fault's probability as a bar, with a diamond where it stood at the beginning.

    `key` says what the diamond is; there is none where nothing was `seen`. `letter` and `figures`
    are the room of a letter and a figure. The last bar, of what is not listed, is hatched.
    """
    labels = [_short(bar.title) for bar in bars]
    left = figures + round(letter * max(map(len, labels), default=0))
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
        narrow += _bar(bar, 0, y + 21, 14, 252 / largest, mark=bool(seen))
    bottom = ROW * len(bars)
    wide.append(line("ax2", f"M{left} 0V{bottom}"))
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


def weight_bars(shipped: FaultModel, found: Learned) -> Chart:
    """Return each fault's learned weight as a bar, with a diamond at its shipped one."""
    before = {one.code: one.weight for one in shipped.faults} | {NOT_LISTED: shipped.unlisted}
    titles = {one.code: one.title for one in shipped.faults} | {NOT_LISTED: "Cause not listed"}
    now = {code: p for code, p in found.weights.items() if code or p or before[code]}
    bars = _bars(now, before, titles)
    drawn = likelihood_bars(bars, found.cars, say("shipped"))
    heads = (say("Fault"), say("Learned"), say("Shipped"), say("Cars"))
    counts = [str(found.tally.hits[bar.code]) for bar in bars]
    rows = tuple((*row, count) for row, count in zip(drawn.rows, counts, strict=True))
    return replace(drawn, heads=heads, rows=rows)


def shipped_bars(model: FaultModel) -> Chart:
    """Return the weight of each fault as a bar, as the text has it."""
    now, titles = _weights(model)
    drawn = likelihood_bars(_bars(now, now, titles), 0)
    rows = tuple(row[:2] for row in drawn.rows)
    return replace(drawn, heads=(say("Fault"), say("Weight")), rows=rows)


def effect_bars(before: FaultModel, model: FaultModel) -> Chart:
    """Return how likely each fault is before anything is seen, with a diamond where it was."""
    now, titles = _priors(model)
    then, old_titles = _priors(before)
    now = dict.fromkeys(then, 0.0) | now
    drawn = likelihood_bars(
        _bars(now, dict.fromkeys(now, 0.0) | then, old_titles | titles), 1, say("as it is now")
    )
    heads = (say("Fault"), say("With this text"), say("As it is now"))
    return replace(drawn, heads=heads)


def graph_of_model(model: FaultModel) -> Chart | None:
    """Return what brings about what, each with its prior; None where no fault does."""
    causes = {cause for one in model.faults for cause in one.caused_by}
    linked = [one for one in model.faults if one.caused_by or one.code in causes]
    if not linked:
        return None
    present = Reasoner(model).believe({}).present
    shares = {one.code: present[one.code] for one in linked}
    wide, narrow = (drawing(lay_out(model, shares, {}, narrow=phone)) for phone in (False, True))
    titles = {one.code: one.title for one in model.faults}
    links = [(titles[cause], one, p) for one in model.faults for cause, p in one.caused_by.items()]
    listed = "; ".join(f"{cause}: {one.title}" for cause, one, _ in links)
    return Chart(
        title=say("What brings about what: {listed}", listed=listed),
        wide=wide,
        narrow=narrow,
        heads=(say("Fault"), say("How often")),
        rows=tuple((_brings(cause, one.title), figure(p)) for cause, one, p in links),
    )


def _brings(cause: str, title: str) -> Say:
    return say("{cause} brings about {title}", cause=cause, title=title)


def _weights(model: FaultModel) -> tuple[dict[str, float], dict[str, str]]:
    """Return the weight and the title of each fault, and of what is not listed where it has one."""
    weights = {one.code: one.weight for one in model.faults}
    titles = {one.code: one.title for one in model.faults} | {NOT_LISTED: "Cause not listed"}
    return weights | ({NOT_LISTED: model.unlisted} if model.unlisted else {}), titles


def _priors(model: FaultModel) -> tuple[dict[str, float], dict[str, str]]:
    """Return how likely each fault is before anything is seen, and its title."""
    found = Reasoner(model).believe({})
    titles = {one.code: one.title for one in model.faults} | {NOT_LISTED: "Cause not listed"}
    return {**found.present, NOT_LISTED: found.unlisted}, titles


def _bars(
    now: Mapping[str, float], before: Mapping[str, float], titles: Mapping[str, str]
) -> list[Bar]:
    """Return bars, the largest first and what is not listed last."""
    order = sorted(now, key=lambda code: (code == NOT_LISTED, -now[code], code))
    return [
        Bar(
            code=code,
            title=titles[code],
            now=now[code],
            before=before[code],
            figure=figure(now[code]),
            figure_before=figure(before[code]),
            word=word(now[code]),
            unlisted=code == NOT_LISTED,
        )
        for code in order
    ]


PLOT, PLOT_LEFT = 300, 46


def calibration_plot(tenths: Sequence[Bin]) -> Chart:
    """Return what was said against what came true; the line up is where both agree.

    Each dot has the interval in which the true share lies in 95 of 100 such cases.
    """
    shapes = [*_frame(), *(shape for one in tenths for shape in _dot(one))]
    beside = [words(430, 30 + 28 * i, _came(one), "lb") for i, one in enumerate(reversed(tenths))]
    height = PLOT + 50
    listed = "; ".join(str(_came(one)) for one in tenths)
    return Chart(
        title=say("Said and came true: {listed}", listed=listed),
        wide=Drawing(width=WIDE, height=height, shapes=(*shapes, *beside)),
        narrow=Drawing(width=NARROW, height=height, shapes=tuple(shapes)),
        heads=(say("Said, in 100"), say("Came true"), say("In 100"), say("Between")),
        rows=tuple(_row_of(one) for one in tenths),
    )


def _frame() -> list[Shape]:
    left, low = PLOT_LEFT, PLOT + 10
    shapes = [
        line("ax2", f"M{left} 10V{low}H{left + PLOT}"),
        line("hl", f"M{left} {low}L{left + PLOT} 10"),
        words(left + PLOT, low + 34, say("said, in 100"), "lb", "end"),
        words(left + 8, 22, say("came true, in 100"), "lb"),
    ]
    for share in (0, 50, 100):
        at = PLOT * share / 100
        shapes += [
            words(left + at, low + 18, str(share), "", "middle"),
            words(left - 8, low - at + 5, str(share), "", "end"),
        ]
    return shapes


def _dot(one: Bin) -> list[Shape]:
    x, low = round(PLOT_LEFT + PLOT * one.said, 1), PLOT + 10
    ends = [round(low - PLOT * end, 1) for end in one.interval]
    y = round(low - PLOT * one.share, 1)
    return [line("st", f"M{x} {ends[0]}V{ends[1]}"), Shape(look="fi", x=x, y=y, r=5)]


def _came(one: Bin) -> Say:
    return say(
        "said {said} in 100: came true {right} of {count} times",
        said=round(100 * one.said),
        right=one.right,
        count=one.count,
    )


def _row_of(one: Bin) -> tuple[str | Say, ...]:
    low, high = (round(100 * end) for end in one.interval)
    return (
        str(round(100 * one.said)),
        say("{right} of {count}", right=one.right, count=one.count),
        str(round(100 * one.share)),
        say("{low} and {high}", low=low, high=high),
    )
