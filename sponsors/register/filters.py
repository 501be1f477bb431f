"""Narrowing the list of sponsors."""

from __future__ import annotations

from typing import Any

import django_filters

from shared.choices import choices_of
from sponsors.register.models import Sponsor
from vehicles.shop.systems import System


class SponsorFilter(django_filters.FilterSet):
    """Sponsors who give parts of one system, or may be written to."""

    gives = django_filters.ChoiceFilter(
        label="Gives", empty_label="anything", choices=choices_of(System), method="giving"
    )
    mail = django_filters.ChoiceFilter(
        label="Mail",
        empty_label="all",
        choices=[("allowed", "allowed"), ("stopped", "stopped")],
        method="mailed",
    )

    class Meta:
        model = Sponsor
        fields = ["gives", "mail"]

    def giving(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(pk__in=Sponsor.objects.filter(gives__system=value).values("pk"))

    def mailed(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(address__opted_out_at__isnull=value == "allowed")
