"""Narrowing the list of appeals."""

from __future__ import annotations

import django_filters

from shared.choices import choices_of
from sponsors.appeals.models import Appeal
from sponsors.appeals.states import AppealState


class AppealFilter(django_filters.FilterSet):
    """Appeals in one state."""

    state = django_filters.ChoiceFilter(
        label="State",
        empty_label="all",
        choices=[pair for pair in choices_of(AppealState) if pair[0] != AppealState.SENT],
    )

    class Meta:
        model = Appeal
        fields = ["state"]
