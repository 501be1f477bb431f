"""The cars whose repair held, what they teach, and which households are to be asked."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby
from typing import TYPE_CHECKING, Any

from django.db.models import Exists, Max, OuterRef, Q

from shared.policy.queries import policies
from vehicles.diagnosis.learning import Car, learn
from vehicles.diagnosis.models import Diagnosis, Held, Observation
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.db.models import QuerySet

    from shared.accounts.models import Program
    from vehicles.diagnosis.fault_model import FaultModel


class Stage(StrEnum):
    """Where a diagnosed car stands on the way to teaching something."""

    HELD = "held"
    NOT_HELD = "not_held"
    TO_ASK = "to_ask"
    TOO_EARLY = "too_early"
    NOT_REPAIRED = "not_repaired"


@dataclass(frozen=True, kw_only=True)
class Story:
    """A diagnosis with a conclusion: when its last repair was done, and whether that held.

    `ask_on` is the first day on which its holding can be said; both days are None before the first
    repair.
    """

    diagnosis: Diagnosis
    stage: Stage
    repaired_on: dt.date | None = None
    ask_on: dt.date | None = None


def learned(program: Program, model: FaultModel) -> tuple[dict[str, Any], int]:
    """Return what a diagnosis that begins now learns from, as it is kept, and from how many cars.

    It is empty, with no car, where none taught anything or the board wants no learning. Else it
    has `weights` (fault, or "" for what is not listed) and `rows` (check, then fault, or "" for
    the sound row).
    """
    rules = policies(program, program.today())
    if not rules["learn_from_repairs"]:
        return {}, 0
    found = learn(model, cars_of(program, model.code), rules["shipped_worth_cars"])
    if not found.cars:
        return {}, 0
    return {"weights": dict(found.weights), "rows": found.rows}, found.cars


def cars_of(program: Program, complaint: str) -> tuple[Car, ...]:
    """Return the cars that may teach, in the order in which their holding was said.

    They are those whose complaint was gone when enough days had passed since the repair, and
    which have not come back with it since. A repair that did not hold teaches nothing.
    """
    days = dt.timedelta(days=policies(program, program.today())["held_after_days"])
    rows = Held.objects.filter(
        program=program,
        withdrawn_at__isnull=True,
        gone=True,
        diagnosis__complaint=complaint,
        diagnosis__model__complaint=complaint,
    ).exclude(diagnosis__in=came_back(Diagnosis.objects.filter(program=program)))
    held = [row for row in rows.order_by("pk") if row.asked_on >= row.repaired_on + days]
    seen = _seen([row.diagnosis_id for row in held])
    return tuple(
        Car(
            pk=row.diagnosis_id,
            causes=frozenset(row.causes),
            seen=seen.get(row.diagnosis_id, ()),
        )
        for row in held
    )


def came_back(rows: QuerySet[Diagnosis]) -> QuerySet[Diagnosis]:
    """Return those whose complaint was there again after them.

    It was diagnosed once more, on the same stay or after the car came back with its old trouble;
    or the car came back with it and nobody has diagnosed anything yet.
    """
    again = Diagnosis.objects.filter(
        Q(intake=OuterRef("intake")) | Q(intake__previous=OuterRef("intake")),
        complaint=OuterRef("complaint"),
        begun_at__gt=OuterRef("begun_at"),
    )
    unread = Intake.objects.filter(previous=OuterRef("intake"), diagnoses__isnull=True)
    return rows.filter(Exists(again) | Exists(unread))


def repaired_on(diagnosis: Diagnosis) -> dt.date | None:
    """Return the last day on which a repair of what was concluded was done, None without one."""
    found = with_repair(Diagnosis.objects.filter(pk=diagnosis.pk)).first()
    return found.repaired_on if found else None


def with_repair(rows: QuerySet[Diagnosis]) -> QuerySet[Any]:
    """Return the rows that have a conclusion, each with its `repaired_on`."""
    standing = Q(conclusions__withdrawn_at__isnull=True, conclusions__isnull=False)
    last = Max("conclusions__finding__items__done_on", filter=standing)
    return rows.filter(standing).annotate(repaired_on=last)


def stories(rows: QuerySet[Diagnosis], program: Program) -> list[Story]:
    """Return where each concluded diagnosis among `rows` stands today; six queries at most."""
    today = program.today()
    days = dt.timedelta(days=policies(program, today)["held_after_days"])
    back = set(came_back(rows).values_list("pk", flat=True))
    told = Held.objects.filter(program=program, withdrawn_at__isnull=True)
    gone = dict(told.values_list("diagnosis", "gone"))
    found = with_repair(rows).select_related("intake__vehicle", "model").order_by("pk")
    return [
        _story(row, today, days, gone=gone.get(row.pk), is_back=row.pk in back) for row in found
    ]


def _story(
    row: Any, today: dt.date, days: dt.timedelta, *, gone: bool | None, is_back: bool
) -> Story:
    """Return one story; `gone` is what was said, None where nobody was asked."""
    day: dt.date | None = row.repaired_on
    if gone is False or (is_back and day):
        stage = Stage.NOT_HELD
    elif gone:
        stage = Stage.HELD
    elif day is None:
        stage = Stage.NOT_REPAIRED
    else:
        stage = Stage.TO_ASK if day + days <= today else Stage.TOO_EARLY
    ask_on = day + days if day else None
    return Story(diagnosis=row, stage=stage, repaired_on=day, ask_on=ask_on)


def _seen(diagnoses: Sequence[int]) -> dict[int, tuple[tuple[str, str], ...]]:
    rows = Observation.objects.standing().filter(diagnosis__in=diagnoses).exclude(outcome="")
    found = rows.order_by("diagnosis", "check_code").values_list(
        "diagnosis", "check_code", "outcome"
    )
    return {
        pk: tuple((check, shown) for _, check, shown in group)
        for pk, group in groupby(found, key=lambda one: one[0])
    }
