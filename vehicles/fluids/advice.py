"""What to do about a fluid as it was read: ask, read again, add a little, drain, or a finding.

>>> from vehicles.fluids.rows import load
>>> from vehicles.fluids.levels import Engine, Heat, Maker, Reading
>>> maker = Maker(specification="5W-30 API SN", engine=Engine.OFF, heat=Heat.HOT)
>>> empty = Reading(level=Level.NONE, engine=Engine.OFF, heat=Heat.COLD, level_ground=True)
>>> step = advise(load()["engine-oil"], empty, maker, bottle=Bottle(says="5W-30 API SP"))
>>> step.action.value, str(step.amount), step.wait_minutes, step.may_run
('add', '1/2 qt', 5, False)
>>> advise(load()["engine-oil"], Reading(level=Level.NONE), maker).action.value
'ask'

Half a quart where the stick shows nothing, and at most half of what is missing once it shows
something, with time to settle in between: common practice, no source. The maker's words come first.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.fluids.levels import (
    Action,
    Level,
    Look,
    Proposal,
    Step,
    doubt,
    questions,
    unsettled,
)
from vehicles.fluids.rows import Found, Refill
from vehicles.fluids.specifications import Answer, Bottle, compare
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.units import Quantity, convert

if TYPE_CHECKING:
    from collections.abc import Sequence

    from vehicles.fluids.levels import Maker, Reading
    from vehicles.fluids.rows import Fluid

#: Never more than this at once, in quarts; common practice, no source.
MOST_AT_ONCE: Final = Fraction(1, 2)
#: Amounts are whole steps of this, in quarts, where they reach it: marks on a bottle show no less.
SMALLEST: Final = Fraction(1, 8)
PRACTICE: Final = say("Common practice, no source; the maker’s book comes first.")


@dataclass(frozen=True, kw_only=True)
class _Case:
    """A reading with all that it is judged by; `poured` in quarts, at this visit."""

    fluid: Fluid
    reading: Reading
    maker: Maker
    poured: Fraction
    bottle: Bottle


def advise(
    fluid: Fluid,
    reading: Reading,
    maker: Maker,
    *,
    history: Sequence[Quantity] = (),
    bottle: Bottle | None = None,
) -> Step:
    """Return the next step. `history` is all that was poured in at this visit.

    Nothing is ever poured in before reading conditions and bottle are known to be the maker's.

    Raises:
        ValueError: an amount is no volume or not more than nothing, or a share is outside 0 to 1.
    """
    if reading.missing is not None and not 0 <= reading.missing <= 1:
        raise ValueError("What is missing between the marks is a share from 0 to 1.")
    case = _Case(
        fluid=fluid,
        reading=reading,
        maker=maker,
        poured=sum((_quarts(one) for one in history), Fraction(0)),
        bottle=bottle or Bottle(says=""),
    )
    return _bad_look(case) or _not_asked(case) or _not_as_said(case) or _by_level(case)


def _bad_look(case: _Case) -> Step | None:
    """Return the finding of a fluid that looks wrong: nothing is poured onto it."""
    look = case.reading.look
    if look is Look.CLEAN:
        return None
    found = case.fluid.findings.get(look.value) or Found(
        title=f"{case.fluid.title}: {look.label}", deficiency=DeficiencyClass.MAJOR, severity=4
    )
    sentence = say(
        "{fluid}: {look}. Nothing is poured in; find out why first.",
        fluid=case.fluid.title,
        look=look.label,
    )
    return _step(case, Action.FINDING, sentence, found=(found, *_level_found(case)))


def _not_asked(case: _Case) -> Step | None:
    """Return the questions that stand open: a reading is not judged before they are answered."""
    if case.fluid.refill is Refill.WHOLE:
        return None
    if not case.maker.stick:
        return _step(
            case,
            Action.BOOK,
            say(
                "{fluid} has no stick here: the level is set at a plug, at the temperature that "
                "the maker’s book states, by somebody who has the book.",
                fluid=case.fluid.title,
            ),
            PRACTICE,
        )
    fluid, poured = case.fluid, bool(case.poured)
    asked = questions(fluid, case.reading, case.maker, poured=poured)
    return _step(case, Action.ASK, *asked) if asked else None


def _not_as_said(case: _Case) -> Step | None:
    """Return how to read again, where the reading does not count."""
    fluid, reading, poured = case.fluid, case.reading, bool(case.poured)
    if fluid.refill is Refill.WHOLE:
        return None
    why = doubt(fluid, reading, case.maker, poured=poured)
    if not why:
        return None
    wait = unsettled(fluid, reading, poured=poured)
    return _step(case, Action.READ_AGAIN, why, _again(wait, case.maker), wait=wait)


def _by_level(case: _Case) -> Step:
    """Return the step for a reading that counts."""
    fluid, level = case.fluid, case.reading.level
    if level is Level.OVER and fluid.refill is not Refill.WHOLE:
        return _over(case)
    enough = level is Level.BETWEEN and fluid.refill is Refill.NEVER
    if enough or level in {Level.FULL, Level.OVER}:
        return _step(case, Action.DONE, say("{fluid} is as it should be.", fluid=fluid.title))
    if fluid.refill is Refill.NEVER:
        return _step(
            case,
            Action.FINDING,
            say("{fluid} is never topped up: low means wear or a leak.", fluid=fluid.title),
            found=_level_found(case),
        )
    return _poured(case, Action.FILL, None) if fluid.refill is Refill.WHOLE else _in_steps(case)


def _over(case: _Case) -> Step:
    """Return the step for too much: out again; a finding where nobody here poured it in."""
    sentences = [say("Drain or draw it off down to the full mark.")]
    if case.fluid.refill is Refill.STEPS:
        sentences.append(say("The engine is not run with it over its mark."))
    return _step(case, Action.DRAIN, *sentences, found=_level_found(case))


def _in_steps(case: _Case) -> Step:
    """Return the next small amount, or why there is none."""
    level, fluid = case.reading.level, case.fluid
    amount = min(_amount(case), _most(case))
    if level is Level.BETWEEN and amount < SMALLEST:
        return _step(case, Action.DONE, say("{fluid} is close enough to full.", fluid=fluid.title))
    if case.poured + amount > _most(case):
        return _stop(case)
    return _poured(case, Action.ADD, Quantity(amount, "qt"))


def _poured(case: _Case, action: Action, amount: Quantity | None) -> Step:
    """Return the step that pours something in, if the bottle is the right one."""
    fluid = case.fluid
    verdict = compare(fluid.compared, case.maker.specification, case.bottle)
    found = _level_found(case)
    if verdict.answer is not Answer.RIGHT:
        refused = Action.REFUSE if verdict.answer is Answer.WRONG else Action.ASK
        return _step(case, refused, verdict.because, found=found)
    if amount is None:
        return _step(case, action, say("Fill it to the full mark."), found=found)
    first = case.reading.level is Level.NONE and Level.NONE.value in fluid.kept_off
    again = (
        say(
            "Wait {count} minutes and read again before the engine is started.",
            count=fluid.settle_minutes,
        )
        if first
        else _again(fluid.settle_minutes, case.maker)
    )
    return _step(
        case,
        action,
        say("Pour in {amount}, not more.", amount=str(amount)),
        again,
        PRACTICE,
        amount=amount,
        wait=fluid.settle_minutes,
        found=found,
    )


def _amount(case: _Case) -> Fraction:
    """Return the quarts of the next step, in whole eighths where it comes to one or more."""
    maker, reading = case.maker, case.reading
    between = _quarts(maker.between) if maker.between else case.fluid.between or Fraction(0)
    if reading.level is Level.NONE:
        return min(MOST_AT_ONCE, between)
    share = Fraction(1)
    if reading.level is Level.BETWEEN:
        share = Fraction(1, 2) if reading.missing is None else reading.missing
    half = min(MOST_AT_ONCE, between * share / 2)
    return half // SMALLEST * SMALLEST or half


def _most(case: _Case) -> Fraction:
    """Return the quarts that may go in at one visit."""
    most = case.fluid.most or Fraction(0)
    return min(most, _quarts(case.maker.capacity)) if case.maker.capacity else most


def _stop(case: _Case) -> Step:
    poured = Quantity(case.poured, "qt")
    lost = case.fluid.findings.get(Level.LOW.value)
    found = Found(
        title=f"{case.fluid.title}: {poured} went in and it is still not full",
        deficiency=DeficiencyClass.MAJOR,
        severity=lost.severity if lost else 4,
    )
    return _step(
        case,
        Action.STOP,
        say("Stop: {amount} went in. It goes somewhere; look for the leak.", amount=str(poured)),
        PRACTICE,
        found=(found,),
    )


def _level_found(case: _Case) -> tuple[Found, ...]:
    """Return what the level is as a finding; once something was poured in, it has been said."""
    found = case.fluid.findings.get(case.reading.level.value)
    return (found,) if found and not case.poured else ()


def _again(minutes: int, maker: Maker) -> Say:
    if minutes:
        return say("Wait {count} minutes, then read again: {how}.", count=minutes, how=maker.how)
    return say("Read again: {how}.", how=maker.how)


def _quarts(amount: Quantity) -> Fraction:
    """Return an amount in quarts; nothing and less than nothing can't be poured in."""
    quarts = convert(amount.value, amount.unit, "qt")
    if quarts <= 0:
        raise ValueError(f"{amount} is not an amount that can be poured in.")
    return quarts


def _step(
    case: _Case,
    action: Action,
    *sentences: Say,
    amount: Quantity | None = None,
    wait: int = 0,
    found: Sequence[Found] = (),
) -> Step:
    reading, fluid = case.reading, case.fluid
    over = action is Action.DRAIN and fluid.refill is Refill.STEPS
    return Step(
        action=action,
        sentences=sentences,
        amount=amount,
        wait_minutes=wait,
        may_run=not over and not {reading.level.value, reading.look.value} & {*fluid.kept_off},
        cautions=fluid.cautions,
        findings=tuple(
            Proposal(system=fluid.system, found=one, evidence=reading.evidence(fluid))
            for one in found
        ),
    )
