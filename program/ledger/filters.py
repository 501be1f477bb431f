"""Narrowing the journal."""

from __future__ import annotations

from typing import TYPE_CHECKING

import django_filters
from django.db.models import Q

from program.ledger.chart import load
from program.ledger.models import Fund, Transfer

if TYPE_CHECKING:
    from django.db.models import QuerySet
    from django.http import HttpRequest


def _funds(request: HttpRequest | None) -> QuerySet[Fund]:
    return Fund.objects.none() if request is None else Fund.objects.for_user(request.user)  # type: ignore[arg-type]  # behind `requires`


class TransferFilter(django_filters.FilterSet):
    """Transfers of one fund, on one account, with some words, within some days."""

    fund = django_filters.ModelChoiceFilter(label="Fund", queryset=_funds, empty_label="all")
    account = django_filters.ChoiceFilter(
        label="Account",
        method="by_account",
        empty_label="all",
        choices=[(one.code, f"{one.code} {one.name}") for one in load().values()],
    )
    words = django_filters.CharFilter(label="Words", method="by_words")
    since = django_filters.DateFilter(label="From", field_name="entry__on", lookup_expr="gte")
    until = django_filters.DateFilter(label="To", field_name="entry__on", lookup_expr="lte")

    class Meta:
        model = Transfer
        fields = ["fund", "account", "words", "since", "until"]

    def by_account(self, rows: QuerySet[Transfer], name: str, value: str) -> QuerySet[Transfer]:
        return rows.filter(Q(debit=value) | Q(credit=value))

    def by_words(self, rows: QuerySet[Transfer], name: str, value: str) -> QuerySet[Transfer]:
        return rows.filter(
            Q(entry__what__icontains=value)
            | Q(memo__icontains=value)
            | Q(case__number__icontains=value)
        )
