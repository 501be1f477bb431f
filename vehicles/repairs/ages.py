"""A used tire or battery: how worn and how old it is, and whether it may be used.

>>> from datetime import date
>>> today = date(2026, 11, 30)
>>> for one in problems("tire", Worn(tread_32nds=4, made_on=date(2019, 5, 5)), today):
...     print(one.where, one.sentence)
tread_32nds It has 4/32 in of tread; used tires are taken from 5/32 in on.
made It was made in 2019, more than 6 years ago.
>>> str(taken("battery", Worn(made_on=date(2025, 2, 1)), today))
'It was made in 2025, not more than 3 years ago. A test under load comes after.'

Program policy and common practice, no source. The maker's instructions and local law go first.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from shared.dates import full_date
from shared.problems import Problem
from shared.say import Say, say
from vehicles.repairs.suitability import Answer, Fit, no, yes

if TYPE_CHECKING:
    from datetime import date

LEAST_TREAD_32NDS: Final = 5  # program policy; the limit on the road is 2/32, 49 CFR 570.9(a)
MOST_TIRE_YEARS: Final = 6  # program policy; makers' advice on old tires, from memory
MOST_BATTERY_YEARS: Final = 3  # program policy, no source


class Aged(StrEnum):
    """What gives out with the years, so that a used one is read before it is taken."""

    TIRE = "tire"
    BATTERY = "battery"


@dataclass(frozen=True, kw_only=True)
class Worn:
    """What was read off a used part; a tire's date is the Sunday of the week in its code."""

    made_on: date | None = None
    tread_32nds: int | None = None


def aged(kind: str) -> Aged | None:
    """Return by what a used part of a kind is read; None where no date and no tread decide."""
    code = kind.strip().casefold().removesuffix("s")
    return Aged(code) if code in set(Aged) else None


def used_tire(tread_32nds: int, made_on: date, today: date) -> list[Fit]:
    """Return what a used tire's tread and date code say, each as an answer of its own."""
    tread = say(
        "It has {tread}/32 in of tread; used tires are taken from {least}/32 in on.",
        tread=tread_32nds,
        least=LEAST_TREAD_32NDS,
    )
    enough = tread_32nds >= LEAST_TREAD_32NDS
    return [(yes if enough else no)(tread), _age(made_on, today, MOST_TIRE_YEARS)]


def used_battery(made_on: date, today: date) -> Fit:
    """Return what a used battery's date says; a load test decides after it."""
    return _age(made_on, today, MOST_BATTERY_YEARS)


def problems(kind: str, worn: Worn, today: date) -> list[Problem]:
    """Return why a used part may not be used: not read yet, too worn, too old; empty otherwise.

    `where` is `tread_32nds` or `made`, the date.
    """
    lacking = [Problem(sentence, where=where) for where, sentence in _lacking(aged(kind), worn)]
    refused = [] if lacking else _judged(kind, worn, today)
    return lacking + [
        Problem(fit.reason, where=where)
        for where, fit in refused
        if fit.answer is Answer.DOES_NOT_FIT
    ]


def taken(kind: str, worn: Worn, today: date) -> Say:
    """Return why a used tire or battery that has no problem may be used."""
    found = [fit.reason for _, fit in _judged(kind, worn, today)]
    if aged(kind) is Aged.BATTERY:
        return say("{age} A test under load comes after.", age=found[0])
    return say("{tread} {age}", tread=found[0], age=found[1])


def in_words(worn: Worn) -> str:
    """Return what was read, as a note keeps it; empty when nothing was."""
    tread = "" if worn.tread_32nds is None else f"{worn.tread_32nds}/32 in of tread"
    made = f"made {full_date(worn.made_on).partition(', ')[2]}" if worn.made_on else ""
    return ", ".join(word for word in (tread, made) if word)


def _lacking(part: Aged | None, worn: Worn) -> list[tuple[str, Say]]:
    found = []
    if part is Aged.TIRE and worn.tread_32nds is None:
        found.append(("tread_32nds", say("A used tire is measured first. Type its tread.")))
    if part and worn.made_on is None:
        found.append(("made", say("A used one is dated first. Type the date that stands on it.")))
    return found


def _judged(kind: str, worn: Worn, today: date) -> list[tuple[str, Fit]]:
    """Return the answers with the field that each is about; none where nothing was read."""
    part = aged(kind)
    if part is None or worn.made_on is None:
        return []
    if part is Aged.BATTERY:
        return [("made", used_battery(worn.made_on, today))]
    fits = used_tire(worn.tread_32nds or 0, worn.made_on, today)
    return list(zip(("tread_32nds", "made"), fits, strict=True))


def _age(made_on: date, today: date, most: int) -> Fit:
    values = {"year": made_on.year, "most": most}
    last = (made_on.year + most, made_on.month, made_on.day)
    if (today.year, today.month, today.day) > last:
        return no(say("It was made in {year}, more than {most} years ago.", **values))
    return yes(say("It was made in {year}, not more than {most} years ago.", **values))
