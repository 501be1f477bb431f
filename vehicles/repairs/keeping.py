"""What is written down of a need: by when, what it may be, and that its fit was looked at."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction

from shared.audit.actions import log_event
from vehicles.repairs import substitutes
from vehicles.repairs.ages import Worn, in_words, problems
from vehicles.repairs.models import Need
from vehicles.repairs.parts import Car, Fitment, PartCondition
from vehicles.repairs.states import NeedState
from vehicles.shop.systems import System

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Mapping

    from shared.accounts.models import Program, User

CHANGED = "Somebody else changed this need meanwhile. Look at it again, then decide."
ASKED = "Somebody asks whether the part fits."
MOST_DAYS_TO_ASK = 30
LONGEST_NUMBER = 40


@dataclass(frozen=True, kw_only=True)
class Seen:
    """What a person found out about a part: how, its number, and which unit on the shelf it is.

    `unit` is None for one that is still to be bought; `worn` is what was read off a used one.
    """

    how: str
    part_number: str = ""
    unit: int | None = None
    used: bool = False
    worn: Worn = field(default_factory=Worn)


class Checked(StrEnum):
    """How it became sure that a part fits; the sentences stand in the log."""

    OLD_PART = "The part was held against the old part: it fits."
    COUNTER = "The part was looked up by VIN at the counter: it fits."


@transaction.atomic
def set_needed_by(
    *, program: Program, days: Mapping[int, dt.date | None], by: User | None
) -> list[Need]:
    """Write by which day needs are wanted, by their ids, and return those that changed.

    A need that is not open any more keeps its day. None takes a day away.
    """
    rows = Need.objects.open().select_for_update().filter(program=program, pk__in=days)
    changed = [need for need in rows.order_by("pk") if need.needed_by_on != days[need.pk]]
    for need in changed:
        need.needed_by_on = days[need.pk]
        _keep(need, ["needed_by_on"])
        log_event(need, "The day was set by which it is needed.", by=by, fields=["needed_by_on"])
    return changed


@transaction.atomic
def set_conditions(*, need: Need, version: int, may_be: Collection[str], by: User) -> Need:
    """Write whether a need takes a new, a rebuilt or a used part; nothing ticked: as the rules say.

    Raises:
        ValidationError: the need is not open, somebody else changed it meanwhile, or a condition
            is not taken for such a part.
    """
    row = _open_need(need)
    if row.version != version:
        raise ValidationError(CHANGED)
    problems = substitutes.check(row.kind, System(row.system), may_be)
    if problems:
        raise ValidationError({"may_be": [str(one.sentence) for one in problems]})
    row.may_be = [one.value for one in PartCondition if one in may_be]
    _keep(row, ["may_be"])
    log_event(row, "What the part may be was changed.", by=by, fields=["may_be"])
    return row


@transaction.atomic
def take_asking(*, need: Need, until: dt.date, by: User) -> Need:
    """Write that a person finds out by a day whether the part fits.

    Raises:
        ValidationError: the need is not open, or the day is past or too far away.
    """
    row = _open_need(need)
    today = row.program.today()
    if not 0 <= (until - today).days <= MOST_DAYS_TO_ASK:
        raise ValidationError({"until": f"Type a day within {MOST_DAYS_TO_ASK} days from today."})
    log_event(row, ASKED, by=by, reason=until.isoformat())
    return row


@transaction.atomic
def record_fit(*, need: Need, said: Seen, by: User) -> Need:
    """Write that the part was held against the old one, or looked up by VIN, and its number.

    The number goes into the fitment, so that a part offered under it fits without asking again; a
    unit on the shelf fits this car from now on, unless a difference is known.

    Raises:
        ValidationError: the need is not open, the way is not known, what was looked up at the
            counter has no number, or a used one was only looked up, is too worn or too old.
    """
    row, number = _open_need(need), " ".join(said.part_number.split())
    _refuse_seen(row, said, number)
    facts: dict[str, dict[str, object]] = {}
    if number:
        facts["fitment"] = row.fitment | Fitment(part_number=number[:LONGEST_NUMBER]).to_dict()
    if said.unit is not None:
        known = Car.from_dict(row.car)
        sure = dict.fromkeys([*known.sure, (row.kind, str(said.unit))])
        facts["car"] = replace(known, sure=tuple(sure)).to_dict()
    for name, value in facts.items():
        setattr(row, name, value)
    if facts:
        _keep(row, list(facts))
    what = Checked[said.how].value
    log_event(row, what, by=by, reason=in_words(said.worn), fields=list(facts))
    return row


def _refuse_seen(row: Need, said: Seen, number: str) -> None:
    if said.how not in Checked.__members__:
        raise ValidationError({"how": "Say how it was found out."})
    if said.how == Checked.COUNTER.name and not number:
        raise ValidationError({"part_number": "Type the number that the counter named."})
    if said.how == Checked.COUNTER.name and said.used:
        raise ValidationError({"how": "It is used: a number says nothing of its wear. Look at it."})
    if said.used:
        refuse_worn(row.kind, said.worn, row.program.today())


def refuse_worn(kind: str, worn: Worn, today: dt.date) -> None:
    """Refuse a used part that may not be used, with the rule beside what was typed.

    Raises:
        ValidationError: it was not read yet, or is too worn or too old; nobody can allow it.
    """
    found = problems(kind, worn, today)
    if found:
        texts = {one.where: [f"{one.sentence} Rule from: {substitutes.POLICY}."] for one in found}
        raise ValidationError(texts)


def _open_need(need: Need) -> Need:
    row = Need.objects.select_for_update(of=("self",)).select_related("program").get(pk=need.pk)
    if row.state != NeedState.OPEN:
        raise ValidationError("This need is not open any more.")
    return row


def _keep(need: Need, fields: list[str]) -> None:
    need.version += 1
    need.full_clean()
    need.save(update_fields=[*fields, "version"])
