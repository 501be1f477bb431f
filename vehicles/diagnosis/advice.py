"""Which check to do next, what each outcome would mean, and whether to stop and repair now.

Checks are ranked by what they save: how far they lower the expected cost of repair, less what they
cost themselves. How much they tell, in bits, only breaks ties. When nothing saves more than a
dollar, looking further is over.

>>> Outlook(code="yes", label="Yes", probability=0.5, leading=()).then is None
True
>>> Outlook(code="yes", label="Yes", probability=0.5, leading=(), conclude="hose").next_check
''
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from shared.money import usd
from shared.say import Say, say
from vehicles.diagnosis.conclusions import is_confirmed
from vehicles.diagnosis.deciding import Decider
from vehicles.diagnosis.fault_model import Effort
from vehicles.diagnosis.ranking import Weighing

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from vehicles.diagnosis.deciding import Rows, Terms
    from vehicles.diagnosis.fault_model import After, Check, FaultModel, Outcome
    from vehicles.diagnosis.inference import Reasoner
    from vehicles.diagnosis.ranking import Opened, Saving

#: So many faults are named for an outcome, and so many options say what would be done then.
LEADING: Final = 3
SHOWN: Final = 3

_TWO: Final = 2


@dataclass(frozen=True, kw_only=True)
class Outlook:
    """One outcome: how likely, the faults leading after it, and what would be done then.

    One of `next_check`, `conclude`, `look_at` holds a code; none of them: the specialist takes
    over. `then` says it; None: not worked out for this option.
    """

    code: str
    label: str
    probability: float
    leading: tuple[tuple[str, float], ...]
    next_check: str = ""
    conclude: str = ""
    look_at: str = ""
    then: Say | None = None


@dataclass(frozen=True, kw_only=True)
class Option:
    """A remaining check and what it is worth.

    `effort` is its own with the setups that are not true yet; `setups` are those, each with the
    other remaining checks that share it. `damage` is the expected cost, in cents, of what it
    breaks. `worth`: cents that its outcomes save before its own cost; `saving`: after it.
    `barred` and `first` say why it can't be done now.
    """

    check: Check
    effort: Effort
    setups: tuple[tuple[str, tuple[str, ...]], ...]
    damage: int
    worth: int
    saving: Saving
    bits: float
    outlooks: tuple[Outlook, ...]
    barred: tuple[str, ...]
    first: tuple[After, ...]
    sentences: tuple[Say, ...]

    @property
    def is_open(self) -> bool:
        """Whether it can be done now."""
        return not self.barred and not self.first


@dataclass(frozen=True, kw_only=True)
class Advice:
    """What to do next. `best` is the check, or "" to stop and repair in `repair_order`.

    `now` and `further`: expected minutes and cents paid from here on, when stopping now and when
    looking further. An empty `repair_order` means the specialist. `proving` are the checks that
    can be done now and prove the first part of the order, so that a look at it is recorded.
    `openings` are checks weighed with those that they open.
    """

    best: str
    now: Effort
    further: Effort | None
    repair_order: tuple[str, ...]
    proving: tuple[str, ...]
    options: tuple[Option, ...]
    openings: tuple[Opened, ...]
    sentences: tuple[Say, ...]

    @property
    def stop(self) -> bool:
        """Whether no check is worth doing."""
        return not self.best


def next_checks(
    reasoner: Reasoner,
    observed: Mapping[str, str],
    terms: Terms,
    *,
    steps: int = 1,
    beam: int | None = None,
) -> Advice:
    """Return what to do next: all remaining checks, those that can be done first and ranked.

    With two `steps` a check is weighed with the best one after each of its outcomes; with a `beam`
    only so many of them, the best by one step. Without it two steps are exact.

    Raises:
        Contradiction: nothing explains what was observed.
    """
    weighing = Weighing(Decider(reasoner, terms), observed)
    if steps == _TWO:
        weighing.look_ahead(beam)
    openings = weighing.opened()
    best, saving = weighing.best(openings)
    ranked = weighing.ranked()
    shown = {*ranked[:SHOWN], best}
    now = _expected(weighing, None)
    further = _expected(weighing, saving) if saving else None
    every = [*ranked, *weighing.ranked(can_be_done=False)]
    order = _repair_order(weighing.decider, weighing.now, 0)
    checks = weighing.decider.checks
    return Advice(
        best=best,
        now=now,
        further=further,
        repair_order=order,
        proving=tuple(one for one in ranked if {*order[:1]} & checks[one].names.keys()),
        options=tuple(_option(weighing, code, in_full=code in shown) for code in every),
        openings=openings,
        sentences=_sentences(weighing, best, now, further),
    )


def _expected(weighing: Weighing, saving: Saving | None) -> Effort:
    """Return minutes and cents that are to be expected from here on."""
    rate = weighing.decider.terms.rate
    minutes, cost = float(weighing.now.minutes[0]), float(weighing.now.cost[0])
    cents = cost - minutes * rate / 60
    if saving:
        minutes, cents = minutes - saving.minutes, cents - saving.cents
    return Effort(minutes=round(minutes), cents=round(cents))


def _repair_order(decider: Decider, rows: Rows, row: int) -> tuple[str, ...]:
    return tuple(decider.model.faults[place].code for place in rows.plans.taken_of(row))


def _option(weighing: Weighing, code: str, *, in_full: bool) -> Option:
    decider, step = weighing.decider, weighing.step
    check, place = decider.checks[code], step.checks.index(code)
    saving, worth = weighing.saving(code), weighing.now.cost[0] - step.total[place]
    return Option(
        check=check,
        effort=Effort(minutes=round(step.minutes[place]), cents=check.effort.cents),
        setups=tuple(
            (setup, _sharing(weighing, code, setup)) for setup in decider.missing_setups(code)
        ),
        damage=round(step.damage[place]),
        worth=round(worth + step.cost[place]),
        saving=saving,
        bits=float(step.bits[place]),
        outlooks=_outlooks(weighing, code, in_full=in_full),
        barred=weighing.barred[code],
        first=weighing.first[code],
        sentences=_obstacles(weighing, code),
    )


def _sharing(weighing: Weighing, code: str, setup: str) -> tuple[str, ...]:
    checks = weighing.decider.checks
    return tuple(
        other for other in weighing.codes if other != code and setup in checks[other].setups
    )


def _outlooks(weighing: Weighing, code: str, *, in_full: bool) -> tuple[Outlook, ...]:
    followed = weighing.followed.get(code)
    if followed is None and in_full:
        followed = weighing.follow(code, weighing.codes)
    rows = weighing.step.rows_of(code)
    outcomes = weighing.decider.checks[code].outcomes
    then: tuple[str | None, ...] = followed.then if followed else (None,) * len(outcomes)
    return tuple(
        _outlook(weighing, code, outcome, int(row), next_check)
        for outcome, row, next_check in zip(outcomes, rows, then, strict=True)
    )


def _outlook(
    weighing: Weighing, code: str, outcome: Outcome, row: int, next_check: str | None
) -> Outlook:
    """Return one outcome; `next_check` is "" to repair then, and None when it is not known."""
    rows, model = weighing.step.rows, weighing.decider.model
    present = rows.present[row]
    order = np.argsort(-np.round(present, 9), kind="stable")[:LEADING]
    known = Outlook(
        code=outcome.code,
        label=outcome.label,
        probability=float(rows.p[row]),
        leading=tuple((model.faults[i].code, float(present[i])) for i in order if present[i] > 0),
    )
    if next_check is None or known.probability <= 0:
        return known
    if next_check:
        title = weighing.decider.checks[next_check].title
        return replace(known, next_check=next_check, then=say("Next: {check}.", check=title))
    seen = {**weighing.observed, code: outcome.code}
    for fault, p in known.leading:
        if is_confirmed(model, model.fault(fault), p, seen):
            then = say("Conclude: {fault}.", fault=model.fault(fault).title)
            return replace(known, conclude=fault, then=then)
    first = _repair_order(weighing.decider, rows, row)[:1]
    look_at = first[0] if first else ""
    return replace(known, look_at=look_at, then=_stopping(model, first))


def _stopping(model: FaultModel, order: Sequence[str]) -> Say:
    """Return what is done when looking further is over."""
    if not order:
        return say("Hand over: {specialist}.", specialist=model.specialist.title)
    return say("Look at this part and repair it: {fault}.", fault=model.fault(order[0]).title)


def _obstacles(weighing: Weighing, code: str) -> tuple[Say, ...]:
    """Return why a check can't be done now."""
    checks = weighing.decider.checks
    return (
        *(say("Not now: {because}", because=because) for because in weighing.barred[code]),
        *(
            say("First {check}: {because}", check=checks[one.check].title, because=one.because)
            for one in weighing.first[code]
        ),
    )


def _sentences(
    weighing: Weighing, best: str, now: Effort, further: Effort | None
) -> tuple[Say, ...]:
    """Return stopping now beside looking further, and what follows from it."""
    decider = weighing.decider
    stopping = say(
        "Stop and repair now: {money} and {minutes} minutes are to be expected.",
        money=usd(now.cents),
        minutes=now.minutes,
    )
    if further is None:
        order = _repair_order(decider, weighing.now, 0)
        over = say(
            "No check left lowers what is to be expected by more than {margin}.",
            margin=usd(decider.terms.margin),
        )
        return stopping, over, _stopping(decider.model, order)
    looking = say(
        "Look further, first {check}: {money} and {minutes} minutes are to be expected.",
        check=decider.checks[best].title,
        money=usd(further.cents),
        minutes=further.minutes,
    )
    saved = now.cost(decider.terms.rate) - further.cost(decider.terms.rate)
    return stopping, looking, say("That saves {money} on average.", money=usd(round(saved)))
