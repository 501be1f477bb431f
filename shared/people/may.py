"""Who may do which work on which day: skills signed off, papers in date, age, a waiver.

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
from shared.people.kinds import PaperKind, PersonKind, skill_in_words
from shared.problems import Level, Problem
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import date

ADULT_YEARS: Final = 18
#: Brakes, steering, fuel, belts and airbags: nobody works on them unless signed off, not even
#: under supervision (program policy; mark: common practice, no source).
GUARDED: Final = ("brakes", "steering", "fuel", "restraint")


@dataclass(frozen=True, kw_only=True)
class Dated:
    """A skill signed off by another person, or a paper; both days belong to the span."""

    code: str
    from_on: date | None = None
    until_on: date | None = None

    def holds_on(self, day: date) -> bool:
        """Return whether the span holds the day."""
        begun = self.from_on is None or self.from_on <= day
        return begun and (self.until_on is None or day <= self.until_on)


@dataclass(frozen=True, kw_only=True)
class Worker:
    """Somebody who works in the shop, paid or not. `born_on` is None where nobody noted it."""

    name: str
    kind: PersonKind = PersonKind.PAID
    born_on: date | None = None
    left_on: date | None = None
    skills: tuple[Dated, ...] = ()
    credentials: tuple[Dated, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Act:
    """Some work, as it stands after “may”, and what it takes to be allowed to do it.

    Where `supervised`, somebody without the skill may do it while another who has it stands by.
    `source` is whose rule it is, with its mark: whether its text was seen.
    """

    what: str
    skills: tuple[str, ...] = ()
    credentials: tuple[str, ...] = ()
    least_years: int = 0
    supervised: bool = False
    source: str = ""


#: Reading the points of the sheet on a car that stands on its wheels.
INSPECT: Final = Act(
    what="read the sheet", source="A volunteer’s waiver: common practice, no source."
)
UNDER_RAISED_CAR: Final = Act(
    what="work under a raised car",
    skills=("lift",),
    least_years=ADULT_YEARS,
    source="Program policy, from 18 on. 29 CFR 570.58 bars young employees from hoists (text seen);"
    " whether a lift is one, ask counsel.",
)
ROAD_TEST: Final = Act(
    what="drive a car for a road test",
    skills=("road_test",),
    credentials=(PaperKind.DRIVER_LICENSE, PaperKind.INSURER_LIST),
    least_years=ADULT_YEARS,
    source="The insurer’s list rules, since the federal shield for volunteers leaves out driving:"
    " 42 USC 14503(a)(4) (text seen). From 18 on: program policy.",
)
#: Also what the second person takes at a final inspection, or where a finding is made less grave.
SIGN_OFF: Final = Act(
    what="sign off a repair",
    skills=("sign_off",),
    least_years=ADULT_YEARS,
    source="Common practice, no source.",
)
HIGH_VOLTAGE: Final = Act(
    what="work on high voltage",
    skills=("high_voltage",),
    credentials=(PaperKind.HIGH_VOLTAGE,),
    least_years=ADULT_YEARS,
    source="Pages of Toyota (2002) and General Motors; 29 CFR 1910.137 and 1910.147 (from memory,"
    " text not seen).",
)
REFRIGERANT: Final = Act(
    what="open the air conditioning",
    credentials=(PaperKind.REFRIGERANT,),
    least_years=ADULT_YEARS,
    source="40 CFR 82.34(a): certified under section 609 of the Clean Air Act (text seen). From 18"
    " on: program policy.",
)
#: What a person's page answers, in this order; the guarded systems follow.
ACTS: Final = (INSPECT, UNDER_RAISED_CAR, ROAD_TEST, SIGN_OFF, HIGH_VOLTAGE, REFRIGERANT)

_BELOW: Final = "look_under"
_RAISED: Final = frozenset({"lifting-jack", "lifting-stands", "lifting-hoist"})
_BY_CAUTION: Final = {"road-test": ROAD_TEST, "hybrid-hv": HIGH_VOLTAGE}


def work_on(system: str) -> Act:
    """Return the act of working on a system; the skill has the system's code.

    A guarded system takes the skill. At the others somebody may learn while another stands by.
    """
    if system == PaperKind.HIGH_VOLTAGE:
        return HIGH_VOLTAGE
    what = f"work on {skill_in_words(system)}"
    source = "Program policy; common practice, no source."
    return Act(what=what, skills=(system,), supervised=system not in GUARDED, source=source)


def acts_for_point(group: str, cautions: Collection[str]) -> tuple[Act, ...]:
    """Return what reading one point of the sheet takes, by its group and the codes of its cautions.

    >>> [act.what for act in acts_for_point("look_under", ["lifting-stands"])]
    ['read the sheet', 'work under a raised car']
    """
    raised = group == _BELOW and not _RAISED.isdisjoint(cautions)
    further = tuple(act for code, act in _BY_CAUTION.items() if code in cautions)
    return (INSPECT, *((UNDER_RAISED_CAR,) if raised else ()), *further)


def may(person: Worker, act: Act, day: date) -> list[Problem]:
    """Return what stands against this person doing this work on that day; empty when nothing does.

    An age that nobody noted and work under supervision are warnings, everything else a blocker.
    """
    skills = (_skill(person, act, code, day) for code in act.skills)
    credentials = (_credential(person, PaperKind(code), day) for code in act.credentials)
    about = (_gone(person, day), _waiver(person, day))
    found = (*about, *skills, *credentials, _age(person, act, day))
    return [problem for problem in found if problem]


def age(born_on: date, day: date) -> int:
    """Return the years completed on that day; someone born on February 29 ages on March 1.

    >>> from datetime import date
    >>> age(date(2008, 2, 29), date(2026, 2, 28)), age(date(2008, 2, 29), date(2026, 3, 1))
    (17, 18)
    """
    return day.year - born_on.year - ((day.month, day.day) < (born_on.month, born_on.day))


def holds(person: Worker, skill: str, day: date) -> bool:
    """Return whether the person is signed off for a skill on that day."""
    return _held(person.skills, skill, day)


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


def _skill(person: Worker, act: Act, code: str, day: date) -> Problem | None:
    """Return that the skill isn't signed off on that day, or None."""
    if _held(person.skills, code, day):
        return None
    name, skill = person.name, skill_in_words(code)
    remedy, level = say("Have somebody else who holds it sign it off."), Level.BLOCKER
    if act.supervised:
        remedy = say("Somebody who is signed off for it stands by.")
        level = Level.WARNING
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
    return Problem(sentence, remedy=remedy, level=level, where=code)


def _credential(person: Worker, kind: PaperKind, day: date) -> Problem | None:
    """Return that the paper isn't in date on that day, or None."""
    if _held(person.credentials, kind, day):
        return None
    name, paper = person.name, kind.within
    ended = _ended(person.credentials, kind, day)
    if ended:
        sentence = say(
            "The {paper} of {name} ran out on {day}.", paper=paper, name=name, day=full_date(ended)
        )
    else:
        sentence = say("No {paper} of {name} is on file.", paper=paper, name=name)
    return Problem(sentence, remedy=say("See the paper and note its dates."), where=kind)


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
    return any(dated.code == code and dated.holds_on(day) for dated in held)


def _ended(held: tuple[Dated, ...], code: str, day: date) -> date | None:
    """Return the last day before `day` on which a span with that code ended."""
    ends = [dated.until_on for dated in held if dated.code == code and dated.until_on]
    return max((end for end in ends if end < day), default=None)
