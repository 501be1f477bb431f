"""What a household reads about its car: where it is, what is next, what can be trusted.

Everything comes from the facts that the desk reads too, in words that name no street, number plate
or house word. Nothing is told that the safe-contact rule forbids: `barriers` says why no page is.

>>> from datetime import date
>>> facts = Facts(stage=Stage.BEING_SERVED, car=Step.REPAIR, today=date(2026, 11, 30))
>>> report(facts, home_by_on=date(2026, 12, 11)).home_by_on
datetime.date(2026, 12, 11)
>>> [str(reason) for reason in barriers(Rule(channel=Channel.EMAIL, barred=True), asked=True)]
['Contact could put a person in danger.']
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from program.cases.next_step import Facts, next_step
from program.households.stages import Stage
from shared.outbox.contact import Channel, MaySay, Rule
from shared.say import Say, say
from vehicles.custody.conditions import IN_CARE, Step

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

__all__ = ["Channel", "Facts", "Progress", "Report", "Rule", "Step", "barriers", "report"]


@dataclass(frozen=True, kw_only=True)
class Progress:
    """One knot of the string: its words and whether it is done, now or next."""

    label: Say
    state: str


@dataclass(frozen=True, kw_only=True)
class Report:
    """What the page and the mail say, in this order; a missing date is one nobody may rely on."""

    headline: Say
    next: tuple[Say, ...]
    caution: Say | None = None
    home_by_on: date | None = None
    next_word_on: date | None = None
    bring: tuple[Say, ...] = ()
    steps: tuple[Progress, ...] = ()


def barriers(rule: Rule, *, asked: bool) -> list[Say]:
    """Return every reason why a household may have no private page; empty when it may.

    `asked` says whether anybody has asked how they may be reached.
    """
    found = []
    if not asked:
        found.append(say("Nobody has asked yet how they may safely be reached."))
    if rule.barred:
        found.append(say("Contact could put a person in danger."))
    if rule.says != MaySay.PROGRESS:
        found.append(say("They do not want it told how the car is doing."))
    return found


def report(
    facts: Facts, *, home_by_on: date | None = None, next_word_on: date | None = None
) -> Report:
    """Return what a household reads on the day of the facts; days that are over are left out."""
    calm = replace(facts, safe_contact_set=True, promised_on=None, question_on=None)
    usual, now = next_step(calm), next_step(facts)
    urgent = () if now.household == usual.household else (now.household,)
    return Report(
        headline=usual.household,
        next=urgent + _after(facts),
        caution=now.caution or _stays(facts),
        home_by_on=home_by_on if _is_ahead(home_by_on, facts) and _is_coming(facts) else None,
        next_word_on=next_word_on if _is_ahead(next_word_on, facts) else None,
        bring=_bring(facts),
        steps=_string(facts),
    )


def _is_ahead(day: date | None, facts: Facts) -> bool:
    return day is not None and day >= facts.today


def _is_coming(facts: Facts) -> bool:
    """Return whether the household still waits for its car."""
    return facts.stage in (Stage.DECIDING, Stage.WAITING, Stage.BEING_SERVED)


def _stays(facts: Facts) -> Say | None:
    """Return why a car in our care can't be fetched now, where something dangerous is open."""
    if facts.car not in IN_CARE or not facts.is_dangerous:
        return None
    return say("Your car is not safe to drive now. It stays with us until it is.")


def _after(facts: Facts) -> tuple[Say, ...]:
    """Return what follows the present step, where a sentence of its own says it."""
    if facts.stage in (Stage.ACCEPTED, Stage.BEING_SERVED):
        found = _AFTER_STEP.get(facts.car) if facts.car else None
    elif facts.stage == Stage.WAITING and facts.in_plan:
        found = say("We call you before the work starts.")
    else:
        found = _AFTER_STAGE.get(facts.stage)
    return (found,) if found else ()


def _bring(facts: Facts) -> tuple[Say, ...]:
    """Return what to bring to the next visit, as far as one is near (common practice)."""
    if facts.stage in (Stage.CALLED, Stage.APPLIED):
        return (
            say("A paper with your name and photo"),
            say("Papers that show your income: we look at them and give them back"),
        )
    if facts.stage == Stage.ACCEPTED and facts.car in (None, Step.EXPECTED):
        return (
            say("Your driver license"),
            say("The title or the registration of the car"),
            say("Every key, and the key for the wheel locks"),
        )
    if facts.stage == Stage.BEING_SERVED and facts.car in (Step.REPAIR, Step.FINAL_INSPECTION):
        return (
            say("Your driver license"),
            say("The insurance card"),
            say("About 40 minutes: we show you what was done"),
        )
    return ()


def _string(facts: Facts) -> tuple[Progress, ...]:
    """Return the usual way with what is done; nothing for a household that has left it."""
    if facts.stage not in _PLACE:
        return ()
    place = _PLACE[facts.stage]
    if facts.stage == Stage.BEING_SERVED and facts.car == Step.FINAL_INSPECTION:
        place += 1
    states = ["done" if i < place else "now" if i == place else "next" for i in range(len(_WAY))]
    if facts.stage == Stage.FOLLOWED_UP:
        states[-1] = "done"
    return tuple(Progress(label=text, state=s) for text, s in zip(_WAY, states, strict=True))


_WAY: Final = (
    say("You apply"),
    say("We look the car over"),
    say("We decide what can be done"),
    say("The car waits for its turn"),
    say("The car is repaired"),
    say("We check it and drive it"),
    say("You have your car back"),
)
_PLACE: Final[Mapping[Stage, int]] = {
    Stage.CALLED: 0,
    Stage.APPLIED: 0,
    Stage.ACCEPTED: 1,
    Stage.DECIDING: 2,
    Stage.WAITING: 3,
    Stage.BEING_SERVED: 4,
    Stage.BACK_ON_ROAD: 6,
    Stage.FOLLOWED_UP: 6,
}
_AFTER_STEP: Final[Mapping[Step, Say]] = {
    Step.ASSESSMENT: say("When we know what it needs, we call you before anything is repaired."),
    Step.AWAITING_PARTS: say("When the parts are here, the repair starts."),
    Step.REPAIR: say("When the repair is done we check the car and drive it. Then you fetch it."),
    Step.SUBLET: say("When the car is back from there, we finish the work."),
    Step.FINAL_INSPECTION: say("When it passes, we call you and set a time to fetch it."),
}
_AFTER_STAGE: Final[Mapping[Stage, Say]] = {
    Stage.APPLIED: say("When we have decided, we call you."),
    Stage.DECIDING: say("When it is decided, we call you and explain it."),
    Stage.WAITING: say("Each week we plan the repairs. We tell you when your car is in the plan."),
    Stage.BACK_ON_ROAD: say("Call us at once if the same trouble comes back."),
}
