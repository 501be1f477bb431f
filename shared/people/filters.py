"""Narrowing the list of people."""

from __future__ import annotations

from typing import Any

import django_filters

from shared.people.models import Person
from shared.people.queries import SOON
from shared.people.tables import KINDS


class PersonFilter(django_filters.FilterSet):
    """People who are paid or not, whose papers run out, who are here or have left."""

    kind = django_filters.ChoiceFilter(
        label="Hours are",
        empty_label="all",
        choices=[(kind.value, words) for kind, words in KINDS.items()],
    )
    papers = django_filters.ChoiceFilter(
        label="Papers",
        empty_label="all",
        choices=[("soon", "run out within 30 days"), ("over", "have run out")],
        method="by_papers",
    )
    here = django_filters.ChoiceFilter(
        label="Who",
        empty_label="all",
        choices=[("yes", "works here"), ("no", "has left")],
        method="by_leaving",
    )

    class Meta:
        model = Person
        fields = ["kind", "papers", "here"]

    def by_papers(self, rows: Any, name: str, value: str) -> Any:
        today = self.request.user.program.today()
        if value == "over":
            return rows.filter(ends_on__lt=today)
        return rows.filter(ends_on__range=(today, today + SOON))

    def by_leaving(self, rows: Any, name: str, value: str) -> Any:
        gone = rows.filter(left_on__lt=self.request.user.program.today())
        return gone if value == "no" else rows.exclude(pk__in=gone.values("pk"))
