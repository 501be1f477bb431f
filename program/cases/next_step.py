"""The one next step of a case: what staff do, who, by when, and what the household reads.

Asked by the desk and by the household's page, so that both say the same. The first rule that fits
wins: what keeps a message from being safe, what was promised, what was asked, then the stage.

>>> facts = Facts(stage=Stage.BEING_SERVED, car=Step.REPAIR, today=date(2026, 11, 25))
>>> str(next_step(facts).household)
'Your car is being repaired.'
>>> str(next_step(facts).staff)
'Finish the work and hand the car to the final inspection.'
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Final

from program.cases.wording import PLAIN, SERVED
from program.households.stages import CALENDAR_DAYS, OPEN, Stage, add_business_days, decide_by
from shared.accounts.roles import RoleKind
from shared.dates import short_date
from shared.say import Say, say
from vehicles.custody.conditions import IN_CARE, Step

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

ANSWER_DAYS: Final = 2  # business days until a question is answered (common practice, no source)
FOLLOW_UP_DAYS: Final = 30
GATE_TIERS: Final = (0, 1)  # a car goes home only with these empty
FAILED_STEPS: Final = (Step.RETURNED_UNREPAIRED, Step.SCRAPPED, Step.ABANDONED)


@dataclass(frozen=True, kw_only=True)
class Facts:
    """What the desk and the status page know of a case on the day `today`.

    `car` is None while no car is known. `open_by_tier` counts open items, tier 0 first. The stage
    was entered on `since_on`, the approved plan's window ends on `home_until`, and the household
    was last told `promised_on`. `dangerous`: a finding is, or was when the car went unrepaired.
    `stopped`: the work goes beyond what was authorized; a supplement waits since `supplement_on`.
    """

    stage: Stage
    today: date
    car: Step | None = None
    since_on: date | None = None
    safe_contact_set: bool = True
    consent_given: bool = True
    unread_criteria: int = 0
    open_by_tier: tuple[int, ...] = ()
    dangerous: bool = False
    needs_unserved: int = 0
    in_plan: bool = False
    home_until: date | None = None
    question_on: date | None = None
    promised_on: date | None = None
    days_waiting: int = 0
    stopped: bool = False
    supplement_on: date | None = None

    @property
    def is_dangerous(self) -> bool:
        """Whether the car is not to be driven: by an open finding, or by an item of tier 0."""
        return self.dangerous or bool(sum(self.open_by_tier[:1]))

    @property
    def gate_items(self) -> int:
        """How many open items keep the car here: those of tiers 0 and 1."""
        return sum(self.open_by_tier[: len(GATE_TIERS)])


@dataclass(frozen=True, kw_only=True)
class NextStep:
    """What happens next. `caution` is shown to the household first, where there is one."""

    staff: Say
    household: Say
    who: RoleKind = RoleKind.COORDINATOR
    by_on: date | None = None
    caution: Say | None = None


def next_step(facts: Facts) -> NextStep:
    """Return the one next step; the same facts give the same step."""
    step = _first_of_all(facts) or _BY_STAGE[facts.stage](facts)
    due = step.by_on or decide_by(facts.stage, facts.since_on or facts.today)
    return replace(step, by_on=due, caution=_caution(facts))


def _first_of_all(facts: Facts) -> NextStep | None:
    """Return what comes before the stage's own step: contact, a broken promise, a question."""
    if facts.stage not in OPEN:
        return None
    if not facts.safe_contact_set:
        return NextStep(
            staff=say("Ask how and when this household may safely be reached."),
            household=say("We will ask you how and when we may reach you."),
            by_on=facts.today,
        )
    if facts.promised_on and facts.promised_on < facts.today:
        return NextStep(
            staff=say("Call: {day} was promised and is over.", day=short_date(facts.promised_on)),
            household=say("The day that we gave you is over. We will call you today."),
            by_on=facts.today,
        )
    if facts.question_on:
        return NextStep(
            staff=say("Answer the question of {day}.", day=short_date(facts.question_on)),
            household=say("We have your question and will answer it."),
            by_on=add_business_days(facts.question_on, ANSWER_DAYS),
        )
    return _lost_car(facts) or _beyond(facts)


def _beyond(facts: Facts) -> NextStep | None:
    """Return the step of a car that takes more than was authorized: answer, or ask."""
    household = say("We found more to do on your car. We ask you before we do it.")
    if facts.supplement_on:
        return NextStep(
            staff=say("Answer the supplement: the owner and the budget both say yes or no."),
            household=household,
            by_on=add_business_days(facts.supplement_on, ANSWER_DAYS),
        )
    if not facts.stopped:
        return None
    return NextStep(
        staff=say("The work has stopped: ask for a supplement, or take work off the list."),
        household=household,
        who=RoleKind.LEAD_TECHNICIAN,
        by_on=facts.today,
    )


def _lost_car(facts: Facts) -> NextStep | None:
    """Return the step of a household whose car ended its stay without a repair."""
    if facts.car not in FAILED_STEPS:
        return None
    return NextStep(
        staff=say("Decide what this household gets in place of the repair: call, then refer."),
        household=say("We could not repair this car. We will talk with you about other ways."),
        who=RoleKind.CASEWORKER,
        by_on=add_business_days(facts.since_on or facts.today, ANSWER_DAYS),
    )


def _accepted(facts: Facts) -> NextStep:
    """Return the step up to the end of the first inspection."""
    if not facts.consent_given:
        return NextStep(
            staff=say("Get the owner's signature before any work."),
            household=say("We need a signature from the owner of the car."),
        )
    if facts.car in (None, Step.EXPECTED, Step.HANDED_BACK):
        return NextStep(
            staff=say("Set a day for the car to come in."),
            household=say("We will set a day with you to bring your car in."),
        )
    staff, household, who = SERVED[Step.ASSESSMENT]
    if facts.unread_criteria:
        staff = say("Points of the inspection left to read: {count}.", count=facts.unread_criteria)
        who = RoleKind.TECHNICIAN
    return NextStep(staff=staff, household=household, who=who)


def _waiting(facts: Facts) -> NextStep:
    """Return the step of a case that waits for money, hours, a bay or parts."""
    if facts.days_waiting >= CALENDAR_DAYS[Stage.WAITING]:
        return NextStep(
            staff=say(
                "Decide again after {days} days: set aside, refer, or no.", days=facts.days_waiting
            ),
            household=say("You have waited long. We will call you and say how it goes on."),
            by_on=facts.today,
        )
    if facts.in_plan:
        return NextStep(
            staff=say("Start the work as planned."),
            household=say("The repair of your car is planned."),
            who=RoleKind.LEAD_TECHNICIAN,
            by_on=facts.home_until,
        )
    if facts.needs_unserved:
        return NextStep(
            staff=say("Parts to find: {count}.", count=facts.needs_unserved),
            household=say("Your car is waiting for parts. We are looking for them."),
        )
    return NextStep(
        staff=say("Take this into the next plan."),
        household=say("Your car is waiting for its turn."),
        who=RoleKind.COORDINATOR,
    )


def _being_served(facts: Facts) -> NextStep:
    """Return the step by where the car is; the day is the later end of the planned window."""
    staff, household, who = SERVED[facts.car or Step.EXPECTED]
    if facts.car == Step.REPAIR and facts.gate_items:
        staff = say("Items that keep the car here: {count}.", count=facts.gate_items)
    if facts.car == Step.AWAITING_PARTS and facts.needs_unserved:
        staff = say("Parts to find: {count}.", count=facts.needs_unserved)
    if facts.car == Step.FINAL_INSPECTION and facts.unread_criteria:
        staff = say("Points of the final inspection left: {count}.", count=facts.unread_criteria)
    return NextStep(staff=staff, household=household, who=who, by_on=facts.home_until)


def _back_on_road(facts: Facts) -> NextStep:
    since = facts.since_on or facts.today
    return NextStep(
        staff=say("Call and ask how the car runs; set a day for what is left."),
        household=say("Your car is back with you. We will call and ask how it runs."),
        who=RoleKind.CASEWORKER,
        by_on=since + timedelta(days=FOLLOW_UP_DAYS),
    )


def _plain(facts: Facts) -> NextStep:
    """Return the step of a stage that needs no other fact. A no is spoken before it is written."""
    staff, household, who = PLAIN[facts.stage]
    return NextStep(staff=staff, household=household, who=who)


def _caution(facts: Facts) -> Say | None:
    """Return “don't drive” while the car isn't in our care and something dangerous is open."""
    if facts.car in IN_CARE or not facts.is_dangerous:
        return None
    return say("Don't drive your car. Call us: we talk about a tow.")


_BY_STAGE: Final[Mapping[Stage, Callable[[Facts], NextStep]]] = {
    **dict.fromkeys(PLAIN, _plain),
    Stage.ACCEPTED: _accepted,
    Stage.WAITING: _waiting,
    Stage.BEING_SERVED: _being_served,
    Stage.BACK_ON_ROAD: _back_on_road,
}
