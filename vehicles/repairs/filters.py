"""Narrowing the list of cars."""

from __future__ import annotations

from typing import TYPE_CHECKING

import django_filters
from django.db.models import Q

from shared.choices import choices_of
from vehicles.custody.conditions import Step
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from django.db.models import QuerySet


class VehicleFilter(django_filters.FilterSet):
    """Cars in one step, of one worst class, or by make, model, plate or VIN."""

    car = django_filters.CharFilter(label="Car or plate", method="by_car")
    step = django_filters.ChoiceFilter(
        label="Step",
        field_name="vehicle__condition__step",
        empty_label="all",
        choices=choices_of(Step),
    )
    worst = django_filters.ChoiceFilter(
        label="Worst open",
        method="by_worst",
        empty_label="all",
        choices=[(one.value, one.label) for one in DeficiencyClass],
    )

    class Meta:
        model = Intake
        fields = ["car", "step", "worst"]

    def by_car(self, rows: QuerySet[Intake], name: str, value: str) -> QuerySet[Intake]:
        """Return the stays of cars in which every word typed is found."""
        for word in value.split():
            rows = rows.filter(
                Q(vehicle__make__icontains=word)
                | Q(vehicle__model__icontains=word)
                | Q(vehicle__plate__icontains=word)
                | Q(vehicle__vin__icontains=word)
            )
        return rows

    def by_worst(self, rows: QuerySet[Intake], name: str, value: str) -> QuerySet[Intake]:
        """Return the stays whose worst open class it is."""
        return rows.filter(Q(worst=DeficiencyClass(value).rank))
