"""Whose cases a user may see, their supplements, and what a page of decisions asks of a stay."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db.models import F

from program.cases.models import Case
from program.decisions.models import Supplement
from program.decisions.states import SupplementState
from shared.policy.queries import policies
from vehicles.custody.kinds import Joined
from vehicles.repairs.models import EstimateLine, RepairItem

if TYPE_CHECKING:
    from collections.abc import Collection

    from django.db.models import QuerySet

    from shared.accounts.models import Program, User
    from vehicles.intake.models import Intake


def joined_of(stay: Intake) -> Joined:
    """Return how the title joins its names, as it was answered."""
    standing = getattr(stay, "standing", None)
    return Joined(standing.joined) if standing else Joined.UNKNOWN


def cases_for(user: User) -> QuerySet[Case]:
    """Return the cases of the user's program that no tie withholds from them, with their car."""
    rows = Case.objects.for_user(user).filter(vehicle__isnull=False)
    return rows.exclude(vehicle__withheld_from=user).select_related("vehicle", "program")


def case_of_stay(stay: Intake, user: User) -> Case | None:
    """Return the case of a stay's car that the user may see: the open one, else the newest."""
    rows = cases_for(user).filter(vehicle=stay.vehicle_id)
    return rows.order_by(F("closed_on").desc(nulls_first=True), "-opened_on", "-pk").first()


def stay_of(case: Case) -> Intake | None:
    """Return the newest stay of a case's car."""
    if case.vehicle is None:
        return None
    rows = case.vehicle.intakes.select_related("vehicle", "program", "standing")
    return rows.order_by("-arrived_on", "-pk").first()


def supplements_for(user: User) -> QuerySet[Supplement]:
    """Return the supplements to the cars that the user may see."""
    return Supplement.objects.filter(
        program_id=user.program_id, authorization__case__in=cases_for(user)
    ).select_related("authorization__case__vehicle", "asked_by", "budget_by", "owner")


def open_supplements(user: User) -> QuerySet[Supplement]:
    """Return the supplements that wait for an answer, oldest first."""
    return supplements_for(user).filter(state=SupplementState.ASKED).order_by("asked_at", "pk")


def case_cap(program: Program) -> int:
    """Return the most that one case may take before it goes to a decision, in cents."""
    return policies(program, program.today())["case_cap_cents"]


def last_tow(stay: Intake) -> int | None:
    """Return what the last tow of a stay cost in cents, which another one would about cost."""
    tow = stay.tows.filter(cost_cents__isnull=False).order_by("-on", "-pk").first()
    return tow.cost_cents if tow else None


def choosable(stay: Intake, counted: Collection[int]) -> list[RepairItem]:
    """Return the open items of a stay, those that no frozen estimate counted first."""
    rows = RepairItem.objects.open().filter(intake=stay).ranked()
    return sorted(rows, key=lambda row: row.pk in counted)


def counted_items(stay: Intake) -> set[int]:
    """Return the items that a frozen estimate of a stay counted."""
    lines = EstimateLine.objects.filter(estimate__intake=stay, estimate__frozen_at__isnull=False)
    return set(lines.values_list("item_id", flat=True))
