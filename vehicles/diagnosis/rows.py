"""Faults and checks of a fault model's file, section by section.

>>> usual(load_operations()["tire-patch"])
Effort(minutes=30, cents=400)
>>> usual(load_operations()["tire-match"]).minutes
55
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.say import say
from vehicles.diagnosis import setups
from vehicles.diagnosis.fault_model import After, Bar, Check, Damage, Effort, Fault, Outcome
from vehicles.inspection.catalogue import cautions
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.operations.catalogue import load as load_operations
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from vehicles.diagnosis.problem import Mistakes
    from vehicles.diagnosis.reading import Section
    from vehicles.operations.operation import Operation

MOST_OUTCOMES: Final = 8
_CODE: Final = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_LONGEST_CODE: Final = 40  # what was seen and concluded keeps codes and titles of that length
_LONGEST_TITLE: Final = 120
_MOST_SECTIONS: Final = 60  # of faults or checks that are looked into; so many are refused anyway
_TROUBLE_CODE: Final = re.compile(r"[PCBU][0-3][0-9A-F]{3}")
_MARKS: Final = ("text-seen", "from-memory")
_CLASSES: Final = [one for one in DeficiencyClass if one is not DeficiencyClass.NONE]


@dataclass(frozen=True, kw_only=True)
class Names:
    """What a file may name: its faults, and its checks with their outcomes."""

    faults: tuple[str, ...]
    checks: Mapping[str, tuple[str, ...]]

    @classmethod
    def of(cls, whole: Section) -> Names:
        """Return the names that a file gives, so that any of its sections may use them."""
        faults, checks = whole.section("faults", needed=True), whole.section("checks", needed=True)
        return cls(
            faults=tuple(faults.names())[:_MOST_SECTIONS],
            checks={
                code: tuple(checks.section(code).section("outcomes").names())
                for code in [*checks.names()][:_MOST_SECTIONS]
            },
        )


def check_code(code: str, place: str, mistakes: Mistakes) -> None:
    """Say where a code is none."""
    if not _CODE.fullmatch(code) or len(code) > _LONGEST_CODE:
        what = say(
            "A code has at most {n} lower case letters, digits and single hyphens.", n=_LONGEST_CODE
        )
        mistakes.add(place, what)


def system_of(section: Section) -> System:
    """Return the system that a section names."""
    return System(section.word("system", System) or System.ENGINE)


def effort_of(section: Section, default: Effort = Effort()) -> Effort:  # noqa: B008 - frozen
    """Return the minutes and dollars of a section."""
    return Effort(
        minutes=section.whole("minutes", default.minutes),
        cents=section.money("dollars", default.cents),
    )


def usual(operation: Operation) -> Effort:
    """Return what an operation usually takes at one place: time, parts, work done elsewhere."""
    parts = sum(operation.quantity_for(one, 1) * one.price.likely for one in operation.parts)
    return Effort(minutes=operation.minutes_for(1).likely, cents=parts + operation.sublet_for(1))


def fault_of(code: str, section: Section, names: Names) -> Fault:
    """Return the fault of one section."""
    check_code(code, section.place, section.mistakes)
    operation = section.word("operation", load_operations(), "")
    fault = Fault(
        code=code,
        title=section.text("title", longest=_LONGEST_TITLE),
        system=system_of(section),
        weight=section.share("weight"),
        operation=operation,
        look=_effort_at(section, "look", Effort()),
        repair=_repair(section, operation),
        caused_by=_caused_by(section.section("caused_by"), names),
        deficiency=DeficiencyClass(section.word("deficiency", _CLASSES, DeficiencyClass.MAJOR)),
        severity=section.whole("severity", 3, low=1, high=4),
        strands=section.flag("strands"),
        never_release=section.flag("never_release"),
        note=section.text("note", "", longest=600),
    )
    section.close()
    return fault


def check_of(code: str, section: Section, names: Names) -> Check:
    """Return the check of one section."""
    check_code(code, section.place, section.mistakes)
    outcomes = _outcomes(section.section("outcomes", needed=True))
    codes = [one.code for one in outcomes]
    check = Check(
        code=code,
        title=section.text("title"),
        method=section.text("method", longest=1200),
        outcomes=outcomes,
        sound=section.row("sound", len(outcomes)),
        given=_given(section.section("given", needed=True), names, len(outcomes)),
        effort=effort_of(section),
        setups=section.words("setups", setups.load()),
        caution=section.text("caution", "", longest=600),
        cautions=section.words("cautions", cautions()),
        asked=section.flag("asked"),
        names=_proofs(section.section("names"), names, codes),
        bars=tuple(_bar(one, names) for one in section.sections("bars")),
        after=tuple(_after(one, names) for one in section.sections("after")),
        damages=tuple(_damage(one, names) for one in section.sections("damages")),
        codes=_trouble_codes(section.section("codes"), codes),
        source=section.text("source", "", longest=400),
        seen=section.word("mark", _MARKS, "from-memory") == "text-seen",
    )
    section.close()
    return check


def _effort_at(section: Section, key: str, default: Effort) -> Effort:
    inner = section.section(key)
    effort = effort_of(inner, default)
    inner.close()
    return effort


def _repair(section: Section, operation: str) -> Effort:
    if not operation and "operation" not in section and "repair" not in section:
        section.wrong("repair", say("Name an operation, or give minutes and dollars here."))
    known = usual(load_operations()[operation]) if operation else Effort()
    return _effort_at(section, "repair", known)


def _caused_by(section: Section, names: Names) -> dict[str, float]:
    return {
        cause: section.share(cause)
        for cause in section.names()
        if section.knows(cause, names.faults)
    }


def _outcomes(section: Section) -> tuple[Outcome, ...]:
    codes = list(section.names())[: MOST_OUTCOMES + 1]
    for code in codes:
        check_code(code, section.at(code), section.mistakes)
    found = tuple(Outcome(code=code, label=section.text(code, longest=120)) for code in codes)
    if 1 < len(found) <= MOST_OUTCOMES:
        return found
    if found:
        section.mistakes.add(section.place, say("A check has 2 to {n} outcomes.", n=MOST_OUTCOMES))
    return ()


def _given(section: Section, names: Names, length: int) -> dict[str, tuple[float, ...]]:
    rows = {
        fault: section.row(fault, length)
        for fault in section.names()
        if section.knows(fault, names.faults)
    }
    return {fault: row for fault, row in rows.items() if row}


def _proofs(section: Section, names: Names, codes: Iterable[str]) -> dict[str, tuple[str, ...]]:
    return {
        fault: section.words(fault, codes)
        for fault in section.names()
        if section.knows(fault, names.faults)
    }


def _trouble_codes(section: Section, codes: Iterable[str]) -> dict[str, tuple[str, ...]]:
    found = {
        outcome: section.texts(outcome)
        for outcome in section.names()
        if section.knows(outcome, codes)
    }
    for outcome, several in found.items():
        for code in several:
            if not _TROUBLE_CODE.fullmatch(code):
                section.wrong(outcome, say("“{code}” is not a trouble code.", code=code))
    return found


def _bar(section: Section, names: Names) -> Bar:
    if ("check" in section) == ("fault" in section):
        section.mistakes.add(section.place, say("Name a check with outcomes, or a fault."))
    check = section.word("check", names.checks, "")
    bar = Bar(
        because=section.text("because", longest=400),
        check=check,
        outcomes=_seen(section, check, names),
        fault=section.word("fault", names.faults, ""),
        at=section.share("at", Bar.at),
    )
    section.close()
    return bar


def _after(section: Section, names: Names) -> After:
    check = section.word("check", names.checks)
    after = After(
        check=check,
        outcomes=_seen(section, check, names),
        because=section.text("because", longest=400),
    )
    section.close()
    return after


def _seen(section: Section, check: str, names: Names) -> tuple[str, ...]:
    """Return the outcomes of another check that a section names; one at least."""
    if not check:
        section.texts("outcomes")
        return ()
    if "outcomes" not in section:
        section.wrong("outcomes", say("Name the outcomes of “{check}”.", check=check))
    return section.words("outcomes", names.checks[check])


def _damage(section: Section, names: Names) -> Damage:
    damage = Damage(
        fault=section.word("fault", names.faults),
        cents=section.money("dollars"),
        because=section.text("because", longest=400),
    )
    section.close()
    return damage
