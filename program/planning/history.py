"""What earlier plans promised, and what happened: read for the page of one and of all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.cases.models import Case
from program.planning.models import Plan, PlannedCase
from shared.dates import short_date
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

    from shared.accounts.models import User


@dataclass(frozen=True, kw_only=True)
class Promise:
    """One car that a plan was to send home: the day promised, and the day it went, if it did."""

    number: str
    household: str
    from_on: dt.date
    by_on: dt.date
    left_on: dt.date | None
    today: dt.date
    cash_cents: int
    minutes: int

    @property
    def was_kept(self) -> bool:
        """Whether the car went home by the day promised."""
        return self.left_on is not None and self.left_on <= self.by_on

    @property
    def is_late(self) -> bool:
        """Whether the day promised has passed without the car, or passed before it went."""
        return (self.left_on or self.today) > self.by_on

    @property
    def happened(self) -> str:
        """What happened, in words."""
        if self.left_on is None:
            return "late" if self.is_late else "not yet due"
        days = (self.left_on - self.by_on).days
        if days <= 0:
            return f"home {short_date(self.left_on)}"
        return f"home {short_date(self.left_on)}, {days} day{'s' if days > 1 else ''} late"


@dataclass(frozen=True, kw_only=True)
class PastPlan:
    """One approved plan: how many cars it promised, how many days are over, how many were kept."""

    number: int
    approved_on: dt.date
    approved_by: str
    in_force: bool
    value: int
    cars: int
    due: int
    kept: int
    cash_cents: int


def past_plans(user: User) -> list[PastPlan]:
    """Return the approved plans of the user's program, newest first; three queries."""
    plans = Plan.objects.for_user(user).filter(approved_at__isnull=False)
    rows = list(plans.select_related("program", "approved_by").defer("result", "asks"))
    promises = _promises(PlannedCase.objects.filter(plan__in=rows), user)
    return [_past(plan, promises.get(plan.pk, [])) for plan in rows]


def promises_of(plan: Plan, user: User) -> list[Promise]:
    """Return what one plan promised, soonest first; cases withheld from the user are left out."""
    return _promises(PlannedCase.objects.filter(plan=plan), user).get(plan.pk, [])


def _past(plan: Plan, promises: list[Promise]) -> PastPlan:
    over = [row for row in promises if row.was_kept or row.is_late]
    zone = plan.program.zone
    return PastPlan(
        number=plan.number,
        approved_on=plan.approved_at.astimezone(zone).date()
        if plan.approved_at
        else plan.first_week_on,
        approved_by=str(plan.approved_by or ""),
        in_force=plan.state == "approved",
        value=plan.value,
        cars=len(promises),
        due=len(over),
        kept=sum(1 for row in over if row.was_kept),
        cash_cents=sum(row.cash_cents for row in promises),
    )


def _promises(rows: Iterable[PlannedCase], user: User) -> dict[int, list[Promise]]:
    """Return the promises by plan; two queries."""
    seen = Case.objects.for_user(user)
    planned = rows.filter(case__in=seen).select_related("case__household", "program")  # type: ignore[attr-defined]
    found = list(planned.order_by("home_by_on", "pk"))
    stays = Intake.objects.filter(vehicle__in=[row.case.vehicle_id for row in found])
    left: dict[int, list[Intake]] = {}
    for stay in stays.order_by("arrived_on", "pk"):
        left.setdefault(stay.vehicle_id, []).append(stay)
    promises: dict[int, list[Promise]] = {}
    for row in found:
        promises.setdefault(row.plan_id, []).append(_promise(row, left))
    return promises


def _promise(row: PlannedCase, stays: dict[int, list[Intake]]) -> Promise:
    """Return a promise with the day on which the stay that it was made in ended."""
    own = [
        one for one in stays.get(row.case.vehicle_id or 0, []) if one.arrived_on <= row.home_by_on
    ]
    return Promise(
        number=row.case.number,
        household=str(row.case.household or ""),
        from_on=row.home_from_on,
        by_on=row.home_by_on,
        left_on=own[-1].left_on if own else None,
        today=row.program.today(),
        cash_cents=row.cash_cents,
        minutes=row.minutes,
    )
