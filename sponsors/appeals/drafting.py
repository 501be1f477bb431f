"""Whom to ask for which parts, and the mail that asks.

>>> from datetime import date
>>> from vehicles.repairs.open_needs import Car, OpenNeed, Part, System
>>> need = OpenNeed(
...     id=7,
...     title="Radiator",
...     part=Part(kind="radiator", system=System.COOLING),
...     car=Car(year=2012, make="Toyota", model="Corolla"),
...     price_cents=12_000,
... )
>>> giver = Giver(id=3, name="Ines Halloran", gives=(("cooling", ""),), every_days=28)
>>> choice = choose([Wanted(need=need, frees_cars=1)], [giver], Rules(today=date(2026, 11, 30)))
>>> [(asked.giver.id, [line.need.id for line in asked.lines]) for asked in choice.asked]
[(3, [7])]
>>> asleep = Giver(id=4, gives=(("cooling", ""),), every_days=28, last_asked_on=date(2026, 11, 20))
>>> [passed] = choose([Wanted(need=need)], [asleep], Rules(today=date(2026, 11, 30))).passed
>>> str(passed.reason)
'Asked on Nov 20; not again before Dec 18.'

Nothing here knows a household: a need is a part, a car's facts and a text that was approved.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.dates import short_date
from shared.say import Say, say
from vehicles.repairs.specifications import key
from vehicles.repairs.suitability import STRICT

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from vehicles.repairs.open_needs import OpenNeed

MOST_LINES: Final = 6  # a mail that asks for more is not read to its end (common practice)


@dataclass(frozen=True, kw_only=True)
class Ask:
    """One need in the order of what to ask for first: the cars it would free, and their weight."""

    need_id: int
    frees_cars: int = 0
    need_weight: int = 0


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """A need to ask for, with the units that nothing is kept for and what a gift would do."""

    need: OpenNeed
    units: int = 1
    frees_cars: int = 0
    need_weight: int = 0


@dataclass(frozen=True, kw_only=True)
class Giver:
    """A sponsor as drafting reads it; `gives` are pairs of system and part kind, empty for any."""

    id: int
    name: str = ""
    gives: tuple[tuple[str, str], ...] = ()
    every_days: int
    last_asked_on: dt.date | None = None
    opted_out: bool = False
    has_mail: bool = True


@dataclass(frozen=True, kw_only=True)
class Rules:
    """The day, and the price in cents below which a part is bought instead of asked for."""

    today: dt.date
    floor_cents: int = 0


@dataclass(frozen=True, kw_only=True)
class Charity:
    """Who asks: the mail law wants the name and a postal address."""

    name: str
    town: str
    postal_address: str
    phone: str


@dataclass(frozen=True, kw_only=True)
class Asked:
    """A sponsor to write to, and what to ask for, what frees most first."""

    giver: Giver
    lines: tuple[Wanted, ...]


@dataclass(frozen=True, kw_only=True)
class Passed:
    """A sponsor who is not written to now, and why."""

    giver_id: int
    reason: Say


@dataclass(frozen=True, kw_only=True)
class Choice:
    """Who is asked, and who is passed over."""

    asked: tuple[Asked, ...]
    passed: tuple[Passed, ...]


@dataclass(frozen=True, kw_only=True)
class Letter:
    """A mail as sentences: rendered, the plain text that is sent."""

    subject: Say
    paragraphs: tuple[Say, ...]

    def text(self, translate: Callable[[str], str] = str) -> str:
        """Return the whole text in the language of `translate`."""
        return "\n\n".join(line.render(translate) for line in self.paragraphs) + "\n"


def choose(wanted: Iterable[Wanted], givers: Iterable[Giver], rules: Rules) -> Choice:
    """Return whom to ask for what, each sponsor at most once, in the order of their ids."""
    lines = sorted((one for one in wanted if _worth_asking(one, rules)), key=_order)
    asked: list[Asked] = []
    passed: list[Passed] = []
    for giver in sorted(givers, key=lambda one: one.id):
        fitting = tuple(line for line in lines if fits_gift(giver.gives, line.need))
        reason = rests(giver, rules.today) or (None if fitting else _NOTHING_FITS)
        if reason is None:
            asked.append(Asked(giver=giver, lines=fitting[:MOST_LINES]))
        else:
            passed.append(Passed(giver_id=giver.id, reason=reason))
    return Choice(asked=tuple(asked), passed=tuple(passed))


_NOTHING_FITS: Final = say("Nothing that is asked for is among what they give.")


def rests(giver: Giver, today: dt.date) -> Say | None:
    """Return why a sponsor may not be written to on a day, or None when they may."""
    if giver.opted_out:
        return say("They asked for no more mail.")
    if not giver.has_mail:
        return say("There is no mail address: call them.")
    if giver.last_asked_on is None:
        return None
    again = giver.last_asked_on + dt.timedelta(days=giver.every_days)
    if again <= today:
        return None
    days = {"last": short_date(giver.last_asked_on), "again": short_date(again)}
    return say("Asked on {last}; not again before {again}.", **days)


def fits_gift(gives: Iterable[tuple[str, str]], need: OpenNeed) -> bool:
    """Return whether a need is among what a sponsor gives: of that system, and of that kind."""
    part = need.part
    return any(
        system == part.system and (not kind or key(kind) == key(part.kind))
        for system, kind in gives
    )


def letter(asked: Asked, charity: Charity, *, portal_url: str, stop_url: str) -> Letter:
    """Return the mail to one sponsor. `portal_url` is empty where they have no private page.

    Source: 15 USC 7704(a)(3) and (5): a way to stop, and a postal address, in each mail that asks.
    """
    first = asked.lines[0]
    numbered = [_line(number, line) for number, line in enumerate(asked.lines, start=1)]
    return Letter(
        subject=_subject(first, len(asked.lines)),
        paragraphs=(
            say("Hello {name},", name=asked.giver.name),
            say(
                "{charity} in {town} repairs cars that people cannot do without and cannot pay "
                "for. These parts are missing; what does most stands first.",
                charity=charity.name,
                town=charity.town,
            ),
            *numbered,
            *_cautions(asked.lines),
            _way_to_give(portal_url, charity),
            say(
                "A pledge is no contract: you can take it back until the part is handed over. It "
                "helps where it is needed most; it cannot be given to a certain person."
            ),
            *_foot(asked.giver, charity, stop_url),
        ),
    )


def _worth_asking(line: Wanted, rules: Rules) -> bool:
    price = line.need.price_cents
    return line.units > 0 and (price is None or price >= rules.floor_cents)


def _order(line: Wanted) -> tuple[int, int, int, dt.date, int]:
    need = line.need
    return -line.frees_cars, -line.need_weight, need.tier, need.opened_on, need.id


def _subject(first: Wanted, count: int) -> Say:
    part = first.need.title
    if first.frees_cars == 1:
        return say("{part}: one would put a car back on the road", part=part)
    if first.frees_cars > 1:
        cars = {"part": part, "cars": first.frees_cars}
        return say("{part}: one would help put {cars} cars back on the road", **cars)
    if count == 1:
        return say("{part}: one is missing", part=part)
    return say("{part} and {count} more parts are missing", part=part, count=count - 1)


def _line(number: int, line: Wanted) -> Say:
    name = ", ".join(text for text in (line.need.title, line.need.for_car) if text)
    values = {"number": number, "name": name, "units": line.units, "text": line.need.text}
    if line.frees_cars == 1:
        return say("{number}. {name}. Needed: {units}. It would free a car. {text}", **values)
    if line.frees_cars > 1:
        values["cars"] = line.frees_cars
        return say("{number}. {name}. Needed: {units}. It would free {cars} cars. {text}", **values)
    return say("{number}. {name}. Needed: {units}. {text}", **values)


def _cautions(lines: Sequence[Wanted]) -> list[Say]:
    """Return what a sponsor has to know before parts of safety systems are offered."""
    if not any(line.need.part.system in STRICT for line in lines):
        return []
    return [
        say(
            "Parts of brakes, steering, belts and airbags have to be new. A tire is looked over "
            "before it is taken."
        )
    ]


def _way_to_give(portal_url: str, charity: Charity) -> Say:
    if not portal_url:
        return say("Answer this mail or call {phone} to pledge a part.", phone=charity.phone)
    return say(
        "Pledge a part on your private page, without a password:\n{url}\n"
        "Or answer this mail, or call {phone}.",
        url=portal_url,
        phone=charity.phone,
    )


def _foot(giver: Giver, charity: Charity, stop_url: str) -> tuple[Say, ...]:
    return (
        say(
            "You get this mail because you told us that you give parts. It asks for a gift. We "
            "write at most once in {days} days.",
            days=giver.every_days,
        ),
        say("Stop these mails, without a password:\n{url}", url=stop_url),
        say("{charity}, {address}", charity=charity.name, address=charity.postal_address),
    )
