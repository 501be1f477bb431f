"""Narrowing the register of equipment."""

from __future__ import annotations

from typing import TYPE_CHECKING

import django_filters
from django.db.models import Q

from shared.choices import choices_of
from vehicles.shop.duty import SOON, Standing
from vehicles.shop.kinds import EquipmentKind
from vehicles.shop.models import Equipment

if TYPE_CHECKING:
    from django.db.models import QuerySet


class EquipmentFilter(django_filters.FilterSet):
    """Equipment of one kind, and as it stands today; retired pieces only where asked for."""

    kind = django_filters.ChoiceFilter(
        label="Kind", empty_label="all", choices=choices_of(EquipmentKind)
    )
    standing = django_filters.ChoiceFilter(
        label="Today", empty_label="in service", choices=choices_of(Standing), method="by_standing"
    )

    class Meta:
        model = Equipment
        fields = ["kind", "standing"]

    @property
    def qs(self) -> QuerySet[Equipment]:
        """The rows that match; without a standing, those in service."""
        rows: QuerySet[Equipment] = super().qs
        asked = self.form.cleaned_data.get("standing") if self.form.is_valid() else ""
        return rows if asked else rows.filter(retired_on=None)

    def by_standing(self, rows: QuerySet[Equipment], name: str, value: str) -> QuerySet[Equipment]:
        """Return the rows that stand so today."""
        today = self.request.user.program.today()
        in_service = Q(retired_on=None)
        untagged = in_service & Q(tagged_out=False)
        wanted = {
            Standing.RETIRED: ~in_service,
            Standing.TAGGED_OUT: in_service & Q(tagged_out=True),
            Standing.OVERDUE: untagged & Q(due_on__lt=today),
            Standing.SOON: untagged & Q(due_on__range=(today, today + SOON)),
            Standing.IN_DATE: untagged & Q(due_on__gt=today + SOON),
        }
        return rows.filter(wanted[Standing(value)])
