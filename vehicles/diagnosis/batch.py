"""The cars whose repair held, what they teach, and which households are to be asked."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby
from typing import TYPE_CHECKING, Any

from django.db.models import Exists, F, Max, OuterRef, Q

from shared.policy.queries import policies
from vehicles.diagnosis.kinds import Sureness
from vehicles.diagnosis.learning import Car, learn
from vehicles.diagnosis.models import Conclusion, Diagnosis, Held, Observation
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

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
    """Return the cars of a complaint that may teach, in the order in which that was said."""
    return cars_by_complaint(program, diagnosis__complaint=complaint).get(complaint, ())


def cars_by_complaint(program: Program, **only: str) -> dict[str, tuple[Car, ...]]:
    """Return the cars that may teach, by complaint; `only` narrows them down.

    They are those whose complaint was gone when enough days had passed since the repair, and
    which have not come back with it since. A repair that did not hold teaches nothing.
    """
    days = dt.timedelta(days=policies(program, program.today())["held_after_days"])
    told = Held.objects.filter(program=program, withdrawn_at__isnull=True, gone=True, **only)
    told = told.filter(diagnosis__complaint=F("diagnosis__model__complaint"))
    told = told.exclude(diagnosis__in=came_back(Diagnosis.objects.filter(program=program)))
    rows = told.select_related("diagnosis").order_by("diagnosis__complaint", "pk")
    held = [row for row in rows if row.asked_on >= row.repaired_on + days]
    seen = _seen([row.diagnosis_id for row in held])
    return {
        complaint: tuple(_car(row, seen) for row in group)
        for complaint, group in groupby(held, key=lambda row: row.diagnosis.complaint)
    }


def _car(row: Held, seen: Mapping[int, tuple[tuple[str, str], ...]]) -> Car:
    pk = row.diagnosis_id
    return Car(pk=pk, causes=frozenset(row.causes), seen=seen.get(pk, ()))


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


@dataclass(frozen=True, kw_only=True)
class Signed:
    """Conclusions of one sureness whose repair was asked after: how many it proved.

    `percent` is what was said when they were signed, on average.
    """

    sureness: Sureness
    count: int
    proved: int
    percent: int


def signed(program: Program, **only: str) -> list[Signed]:
    """Return what came of the signed conclusions, by their sureness; `only` narrows them down.

    A conclusion is proved where its repair held and its fault was among the causes.
    """
    told = Held.objects.filter(program=program, withdrawn_at__isnull=True, **only)
    back = set(came_back(Diagnosis.objects.filter(held__in=told)).values_list("pk", flat=True))
    proved = {
        row.diagnosis_id: set(row.causes) if row.gone and row.diagnosis_id not in back else set()
        for row in told
    }
    rows = Conclusion.objects.filter(diagnosis__in=proved, withdrawn_at__isnull=True)
    found = sorted(rows, key=lambda row: (row.sureness, row.pk))
    return [
        _signed(Sureness(sureness), list(group), proved)
        for sureness, group in groupby(found, key=lambda row: row.sureness)
    ]


def _signed(
    sureness: Sureness, rows: Sequence[Conclusion], proved: Mapping[int, set[str]]
) -> Signed:
    return Signed(
        sureness=sureness,
        count=len(rows),
        proved=sum(row.fault in proved[row.diagnosis_id] for row in rows),
        percent=round(sum(row.permille for row in rows) / len(rows) / 10),
    )


def _seen(diagnoses: Sequence[int]) -> dict[int, tuple[tuple[str, str], ...]]:
    rows = Observation.objects.standing().filter(diagnosis__in=diagnoses).exclude(outcome="")
    found = rows.order_by("diagnosis", "check_code").values_list(
        "diagnosis", "check_code", "outcome"
    )
    return {
        pk: tuple((check, shown) for _, check, shown in group)
        for pk, group in groupby(found, key=lambda one: one[0])
    }
