"""What the pages of the fluids show: the next step of each, and one fluid with all of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.utils import timezone

from shared.say import Say, say
from vehicles.fluids.advice import PRACTICE
from vehicles.fluids.gathering import State, amount_of, states_of
from vehicles.fluids.levels import Action, Level, Look
from vehicles.fluids.rows import Refill
from vehicles.fluids.values import both
from vehicles.inspection.catalogue import cautions
from vehicles.inspection.gathering import bare_point

if TYPE_CHECKING:
    import datetime as dt

    from vehicles.fluids.levels import Step
    from vehicles.fluids.models import FluidReading, TopUp
    from vehicles.inspection.criteria import Criterion
    from vehicles.intake.models import Intake

SENTENCES = 2


@dataclass(frozen=True, kw_only=True)
class Row:
    """One fluid on the list: its mark, what was read last, and the next step."""

    state: State
    mark: str
    read: Say | None
    then: Say | str


@dataclass(frozen=True, kw_only=True)
class Line:
    """One reading or top-up in the order of time, with what it says."""

    at: dt.datetime
    text: Say
    by: str
    reading: FluidReading | None = None
    top_up: TopUp | None = None

    @property
    def withdrawn(self) -> bool:
        """Whether it was taken back."""
        row = self.reading or self.top_up
        return bool(row and row.withdrawn_at)


def list_of(stay: Intake) -> list[Row]:
    """Return the fluids of a car in the order in which one goes about it."""
    now = timezone.now()
    return [
        Row(
            state=state,
            mark=_mark(state),
            read=_seen(state.newest) if state.newest else None,
            then=next_step(state, now),
        )
        for state in states_of(stay)
    ]


def page_of(stay: Intake, state: State) -> dict[str, Any]:
    """Return what the page of one fluid shows, without its forms."""
    known, step = cautions(), state.step
    return {
        "state": state,
        "fluid": state.fluid,
        "then": next_step(state, timezone.now()),
        "read": _how_seen(state.newest) if state.newest else None,
        "rest": said_of(state.step)[SENTENCES:] if state.step else [],
        "again": _again(state),
        "amount": both(step.amount) if step and step.amount else None,
        "may_pour": bool(step and step.action.pours and not state.after_newest),
        "waits": _waits(state, timezone.now()),
        "poured": state.after_newest and amount_of(state.after_newest),
        "cautions": [known[code] for code in state.fluid.cautions],
        "criteria": criteria_of(stay, state),
        "lines": lines_of(state),
        "earlier_rules": [row for row in state.rules if row.ended_at][::-1],
    }


def next_step(state: State, now: dt.datetime) -> Say | str:
    """Return the one next step of a fluid, in a sentence or two."""
    if state.after_newest:
        return _settle(state, now)
    if state.step:
        return " ".join(said_of(state.step)[:SENTENCES])
    if state.fluid.refill is Refill.WHOLE:
        return state.fluid.how
    if state.fluid.asks and state.rule is None:
        return say("First look up what the maker says of it.")
    return say("Read it: {how}.", how=state.maker.how)


def said_of(step: Step) -> list[str]:
    """Return the sentences of a step; what they rest on stands once at the foot of the page."""
    return [str(one) for one in step.sentences if one != PRACTICE]


def _settle(state: State, now: dt.datetime) -> Say:
    """Return when what was poured in is read again."""
    if _waits(state, now) and state.earliest:
        at = f"{timezone.localtime(state.earliest):%-H:%M}"
        return say("Let it settle. Read it again at {time} at the earliest.", time=at)
    return say("Read it again now: {how}.", how=_again(state))


def _again(state: State) -> Say:
    """Return how it is read again: where the engine must not run it can't be made hot."""
    if state.may_run:
        return state.maker.how
    return say("on level ground, before the engine is started")


def criteria_of(stay: Intake, state: State) -> list[Criterion]:
    """Return the points of the sheet that this fluid concerns, as far as this car has them."""
    codes = dict.fromkeys(one.criterion for one in state.fluid.findings.values() if one.criterion)
    found = (bare_point(stay, code, "") for code in codes)
    return [point.criterion for point in found if point]


def lines_of(state: State) -> list[Line]:
    """Return what was read and poured in on this stay, newest first, what was taken back too."""
    readings = [
        Line(at=row.at, text=_seen(row), by=row.read_by, reading=row) for row in state.all_readings
    ]
    top_ups = [
        Line(
            at=row.at,
            text=say("{amount} poured in", amount=str(amount_of(row))),
            by=str(row.by),
            top_up=row,
        )
        for row in state.all_top_ups
    ]
    return sorted([*readings, *top_ups], key=lambda line: line.at, reverse=True)


def _seen(row: FluidReading) -> Say:
    """Return a level, and the look where it is not as it should be."""
    level, look = Level(row.level).label, Look(row.looks or Look.CLEAN)
    if look is Look.CLEAN:
        return level
    return say("{level}, {look}", level=level, look=look.label)


def _how_seen(row: FluidReading) -> Say:
    """Return what was read and how, as a sentence."""
    parts = [str(_seen(row)).capitalize()]
    if row.missing_eighths:
        parts.append(f"{row.missing_eighths}/8 of the space empty")
    parts += [f"engine {row.engine}"] * bool(row.engine) + [row.heat] * bool(row.heat)
    return say("{seen}.", seen=", ".join(parts))


def _waits(state: State, now: dt.datetime) -> bool:
    return bool(state.after_newest and state.earliest and now < state.earliest)


def _mark(state: State) -> str:
    if state.step is None:
        return "unread"
    if state.after_newest:
        return "wait"
    return "met" if state.step.action is Action.DONE else "decide"
