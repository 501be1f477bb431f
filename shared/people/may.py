"""Who may do which work on which day: skills signed off, credentials in date, age.

Roles open pages, this opens work. Insurers and state law may ask for more, and they decide.

>>> from datetime import date
>>> signed = Dated(code="brakes", from_on=date(2025, 3, 1))
>>> may(Worker(name="R. Amadi", skills=(signed,)), work_on("brakes"), date(2026, 11, 25))
[]
>>> [barred] = may(Worker(name="R. Amadi"), work_on("brakes"), date(2026, 11, 25))
>>> str(barred.sentence)
'R. Amadi is not signed off for brakes.'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.dates import full_date
from shared.people.kinds import PaperKind, PersonKind
from shared.problems import Level, Problem
from shared.say import say

if TYPE_CHECKING:
    from datetime import date

ADULT_YEARS: Final = 18


@dataclass(frozen=True, kw_only=True)
class Dated:
    """A skill signed off by another person, or a credential; both days belong to the span."""

    code: str
    from_on: date | None = None
    until_on: date | None = None


@dataclass(frozen=True, kw_only=True)
class Worker:
    """Somebody who works in the shop, paid or not. `born_on` is None where nobody noted it."""

    name: str
    kind: PersonKind = PersonKind.PAID
    left_on: date | None = None
    born_on: date | None = None
    skills: tuple[Dated, ...] = ()
    credentials: tuple[Dated, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Act:
    """Some work, as it stands after “may”, and what it takes to be allowed to do it."""

    what: str
    skills: tuple[str, ...] = ()
    credentials: tuple[str, ...] = ()
    least_years: int = 0


#: Reading the points of the sheet on a car that stands on its wheels.
INSPECT: Final = Act(what="read the sheet")
#: Program policy: nobody under 18 under a raised car, at the lift's controls or at the wheel.
#: 29 CFR 570.58 bars young employees from hoists (text-seen); whether a lift is one, ask counsel.
UNDER_RAISED_CAR: Final = Act(
    what="work under a raised car", skills=("lift",), least_years=ADULT_YEARS
)
#: The driver is insured: the insurer's list rules, since the federal shield for volunteers leaves
#: out driving (42 USC 14503(a)(4), text-seen).
ROAD_TEST: Final = Act(
    what="drive a car for a road test",
    skills=("road_test",),
    credentials=("driver_license", "insurer_list"),
    least_years=ADULT_YEARS,
)
#: Signing off safety work is a skill of its own (mark: common practice, no source).
SIGN_OFF: Final = Act(what="sign off a repair", skills=("sign_off",), least_years=ADULT_YEARS)


def work_on(system: str) -> Act:
    """Return the act of working on a system by oneself; the skill has the system's code."""
    return Act(what=f"work on {system.replace('_', ' ')}", skills=(system,))


def may(person: Worker, act: Act, day: date) -> list[Problem]:
    """Return what stands against this person doing this work on that day; empty when nothing does.

    An age that nobody noted is a warning, everything else a blocker.
    """
    skills = (_skill(person, code, day) for code in act.skills)
    credentials = (_credential(person, code, day) for code in act.credentials)
    found = (
        _gone(person, day),
        _waiver(person, day),
        *skills,
        *credentials,
        _age(person, act, day),
    )
    return [problem for problem in found if problem]


def age(born_on: date, day: date) -> int:
    """Return the years completed on that day; someone born on February 29 ages on March 1.

    >>> from datetime import date
    >>> age(date(2008, 2, 29), date(2026, 2, 28)), age(date(2008, 2, 29), date(2026, 3, 1))
    (17, 18)
    """
    return day.year - born_on.year - ((day.month, day.day) < (born_on.month, born_on.day))


def _gone(person: Worker, day: date) -> Problem | None:
    """Return that the person had left by that day, or None; the last day still counts."""
    if person.left_on is None or day <= person.left_on:
        return None
    sentence = say(
        "{name} has not worked here since {day}.", name=person.name, day=full_date(person.left_on)
    )
    return Problem(sentence, remedy=say("Give this to somebody else."), where="left_on")


def _waiver(person: Worker, day: date) -> Problem | None:
    """Return that a volunteer's waiver isn't in date on that day, or None."""
    if person.kind != PersonKind.VOLUNTEER:
        return None
    return _credential(person, PaperKind.WAIVER, day)


def _skill(person: Worker, code: str, day: date) -> Problem | None:
    """Return that the skill isn't signed off on that day, or None."""
    if _held(person.skills, code, day):
        return None
    name, skill = person.name, code.replace("_", " ")
    remedy = say("Have somebody else who holds it sign it off.")
    ended = _ended(person.skills, code, day)
    if ended:
        sentence = say(
            "{name} was signed off for {skill} until {day}.",
            name=name,
            skill=skill,
            day=full_date(ended),
        )
    else:
        sentence = say("{name} is not signed off for {skill}.", name=name, skill=skill)
    return Problem(sentence, remedy=remedy, where=code)


def _credential(person: Worker, code: str, day: date) -> Problem | None:
    """Return that the credential isn't in date on that day, or None."""
    if _held(person.credentials, code, day):
        return None
    name, paper = person.name, code.replace("_", " ")
    ended = _ended(person.credentials, code, day)
    if ended:
        sentence = say(
            "The {paper} of {name} ran out on {day}.", paper=paper, name=name, day=full_date(ended)
        )
    else:
        sentence = say("No {paper} of {name} is on file.", paper=paper, name=name)
    return Problem(sentence, remedy=say("See the paper and note its dates."), where=code)


def _age(person: Worker, act: Act, day: date) -> Problem | None:
    """Return that the person is too young for the act, or that nobody noted the age."""
    if not act.least_years:
        return None
    values = {"name": person.name, "years": act.least_years, "what": act.what}
    if person.born_on is None:
        return Problem(
            say("The age of {name} is not on file.", name=person.name),
            remedy=say("Note the age: nobody under {years} may {what}.", **values),
            level=Level.WARNING,
            where="born_on",
        )
    if age(person.born_on, day) >= act.least_years:
        return None
    sentence = say("{name} is under {years} and may not {what}.", **values)
    return Problem(sentence, remedy=say("Give this to somebody older."), where="born_on")


def _held(held: tuple[Dated, ...], code: str, day: date) -> bool:
    """Return whether a span with that code holds the day."""
    return any(
        dated.code == code
        and (dated.from_on is None or dated.from_on <= day)
        and (dated.until_on is None or day <= dated.until_on)
        for dated in held
    )


def _ended(held: tuple[Dated, ...], code: str, day: date) -> date | None:
    """Return the last day before `day` on which a span with that code ended."""
    ends = [dated.until_on for dated in held if dated.code == code and dated.until_on]
    return max((end for end in ends if end < day), default=None)
