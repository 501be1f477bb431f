"""The one table that keeps a unit for a need. No unit is in it twice."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.db import models
from django.db.models import Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from sponsors.pledges.models import Supply
from sponsors.pledges.states import SupplyState
from vehicles.repairs.models import Need
from vehicles.repairs.states import NeedState

if TYPE_CHECKING:
    from collections.abc import Collection

    from shared.accounts.models import User


class ReservationQuerySet(models.QuerySet["Reservation"]):
    """Reservations that stand, of needs that the person who asks may see."""

    def for_user(self, user: User) -> Self:
        """Return the reservations for needs that the user may see."""
        needs = Need.objects.for_user(user)
        return self.filter(program_id=user.program_id, need__in=needs)

    def standing(self) -> Self:
        """Return the reservations that have not been freed."""
        return self.filter(freed_at__isnull=True)

    def waiting_for(self, needs: Collection[int]) -> Self:
        """Return what is kept for needs, by id, and not on a car, noted as fitted or not yet."""
        rows = self.standing().filter(need__in=needs).exclude(supply__state=SupplyState.FITTED)
        return rows.exclude(supply__state=SupplyState.ON_SHELF, need__state=NeedState.FILLED)


class Reservation(ProgramOwned):
    """One unit kept for one need, and why. A coordinator confirms it."""

    supply = models.ForeignKey(Supply, models.PROTECT, related_name="reservations")
    need = models.ForeignKey(Need, models.PROTECT, related_name="reservations")
    made_at = models.DateTimeField(default=timezone.now)
    made_for = models.CharField(max_length=40, help_text="Such as `plan:5` or `matching`.")
    because = models.CharField(max_length=300)
    confirmed_at = models.DateTimeField(null=True, blank=True)
    freed_at = models.DateTimeField(null=True, blank=True)
    freed_because = models.CharField(max_length=200, blank=True)

    objects = ReservationQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "supply"],
                name="reservation_one_need_a_unit",
                condition=Q(freed_at__isnull=True),
                violation_error_message="This unit is kept for another need already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.supply} for {self.need}"

    @property
    def settled_by(self) -> str:
        """What it was made for, in words, such as `plan 5`."""
        return self.made_for.replace(":", " ")
