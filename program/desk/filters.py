"""Narrowing the list of cases."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import django_filters
from django import forms
from django.db.models import Q

from program.cases.models import Case
from program.households.stages import Stage

if TYPE_CHECKING:
    from django.db.models import QuerySet

WHICH = [("closed", "closed"), ("all", "open and closed")]


class CaseFilter(django_filters.FilterSet):
    """Open cases unless others are asked for, by stage and by what is known of them."""

    stage = django_filters.ChoiceFilter(
        label="Stage",
        field_name="household__stage",
        empty_label="any",
        choices=[(stage.value, stage.label) for stage in Stage],
    )
    which = django_filters.ChoiceFilter(
        label="Cases", empty_label="open", choices=WHICH, method="_leave"
    )
    q = django_filters.CharFilter(
        label="Number, name, plate or part of a VIN", method="_search", widget=forms.TextInput
    )

    class Meta:
        model = Case
        fields = ["stage", "which", "q"]

    def filter_queryset(self, queryset: QuerySet[Case]) -> QuerySet[Case]:
        rows: QuerySet[Case] = super().filter_queryset(queryset)
        which = self.form.cleaned_data.get("which")
        if which == "all":
            return rows
        return rows.filter(closed_on__isnull=which != "closed")

    def _leave(self, rows: QuerySet[Case], _name: str, _value: str) -> QuerySet[Case]:
        """Leave the rows: which cases are shown is decided last, since no choice means open."""
        return rows

    def _search(self, rows: QuerySet[Case], _name: str, value: Any) -> QuerySet[Case]:
        text = str(value).strip()
        plain = text.replace(" ", "")
        return rows.filter(
            Q(number__icontains=text)
            | Q(household__name__icontains=text)
            | Q(vehicle__plate__icontains=text)
            | Q(vehicle__vin__icontains=plain)
        )
