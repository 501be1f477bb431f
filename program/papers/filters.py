"""Narrowing the spends without a paper."""

from __future__ import annotations

import django_filters

from program.ledger.filters import DayFilter
from program.ledger.models import Entry


class EntryFilter(django_filters.FilterSet):
    """Entries with some words, within some days."""

    words = django_filters.CharFilter(label="Words", field_name="what", lookup_expr="icontains")
    since = DayFilter(label="From", field_name="on", lookup_expr="gte")
    until = DayFilter(label="To", field_name="on", lookup_expr="lte")

    class Meta:
        model = Entry
        fields = ["words", "since", "until"]
