"""Narrowing the journal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import django_filters
from django.db.models import Count, Q, Sum
from django.db.models.functions import Coalesce

from program.ledger.chart import Function, load
from program.ledger.fiscal import first_of, last_of
from program.ledger.kept_models import Turnover
from program.ledger.labels import CAUSES
from program.ledger.models import Fund, Transfer
from shared.choices import choices_of
from shared.forms import DateField

if TYPE_CHECKING:
    from django.db.models import QuerySet
    from django.http import HttpRequest

FACT, CHOICE = "fact", "choice"
KEPT = {"fund", "account", "since", "until"}  # what the kept turnovers can answer


class Totals(NamedTuple):
    """How many transfers there are, and what they add up to."""

    transfers: int
    cents: int


def _funds(request: HttpRequest | None) -> QuerySet[Fund]:
    return Fund.objects.none() if request is None else Fund.objects.for_user(request.user)  # type: ignore[arg-type]  # behind `requires`


class DayFilter(django_filters.DateFilter):
    """A day, typed and refused as in each form."""

    field_class = DateField


class TransferFilter(django_filters.FilterSet):
    """Transfers of one fund, account, function, case or cause, with some words, in some days."""

    fund = django_filters.ModelChoiceFilter(label="Fund", queryset=_funds, empty_label="all")
    account = django_filters.ChoiceFilter(
        label="Account",
        method="by_account",
        empty_label="all",
        choices=[(one.code, f"{one.code} {one.name}") for one in load().values()],
    )
    function = django_filters.ChoiceFilter(
        label="Function",
        method="by_function",
        empty_label="all",
        choices=[one for one in choices_of(Function) if one[0]],
    )
    kind = django_filters.ChoiceFilter(
        label="Cause",
        method="by_kind",
        empty_label="all",
        choices=sorted(
            ((kind, cause.words) for kind, cause in CAUSES.items()), key=lambda one: one[1]
        ),
    )
    booked_as = django_filters.ChoiceFilter(
        label="Booked as",
        method="by_fact",
        empty_label="all",
        choices=[(FACT, "had happened"), (CHOICE, "by choice")],
    )
    case = django_filters.CharFilter(label="Case", method="by_case")
    words = django_filters.CharFilter(label="Words", method="by_words")
    since = DayFilter(label="From", field_name="entry__on", lookup_expr="gte")
    until = DayFilter(label="To", field_name="entry__on", lookup_expr="lte")

    class Meta:
        model = Transfer
        fields = (
            "fund",
            "account",
            "function",
            "kind",
            "booked_as",
            "case",
            "words",
            "since",
            "until",
        )

    def by_account(self, rows: QuerySet[Transfer], name: str, value: str) -> QuerySet[Transfer]:
        return rows.filter(Q(debit=value) | Q(credit=value))

    def by_function(self, rows: QuerySet[Transfer], name: str, value: str) -> QuerySet[Transfer]:
        """Keep expenses of the function: the transfer's own, or else the account's usual one."""
        account = self.form.cleaned_data.get("account")
        asked = [load()[account]] if account else load().values()
        expenses = [one.code for one in asked if one.function]
        usual = [one.code for one in asked if one.function == value]
        own = Q(function=value) & (Q(debit__in=expenses) | Q(credit__in=expenses))
        return rows.filter(own | Q(function="") & (Q(debit__in=usual) | Q(credit__in=usual)))

    def by_kind(self, rows: QuerySet[Transfer], name: str, value: str) -> QuerySet[Transfer]:
        return rows.filter(entry__key__startswith=f"{value}:")

    def by_fact(self, rows: QuerySet[Transfer], name: str, value: str) -> QuerySet[Transfer]:
        return rows.filter(entry__fact=value == FACT)

    def by_case(self, rows: QuerySet[Transfer], name: str, value: str) -> QuerySet[Transfer]:
        return rows.filter(case__number__iexact=value.strip())

    def by_words(self, rows: QuerySet[Transfer], name: str, value: str) -> QuerySet[Transfer]:
        return rows.filter(
            Q(entry__what__icontains=value)
            | Q(memo__icontains=value)
            | Q(case__number__icontains=value)
        )

    def totals(self, program_id: int) -> Totals:
        """Return count and sum of what is left; one query, over kept turnovers where they do."""
        kept = self._kept(program_id)
        if kept is None:
            sums = self.qs.order_by().aggregate(n=Count("pk"), sum=Coalesce(Sum("cents"), 0))
            return Totals(sums["n"], sums["sum"])
        sums = kept.order_by().aggregate(
            n=Coalesce(Sum("count"), 0),
            debits=Coalesce(Sum("debits"), 0),
            credits=Coalesce(Sum("credits"), 0),
        )
        # Every transfer has two sides; only one of them is on the account asked for.
        sides = 1 if self.form.cleaned_data.get("account") else 2
        return Totals(sums["n"] // sides, (sums["debits"] + sums["credits"]) // sides)

    def _kept(self, program_id: int) -> QuerySet[Turnover] | None:
        """Return the turnovers that add up to what is asked for; None where no such do."""
        asked = {name: value for name, value in self._asked().items() if value}
        since, until = asked.get("since"), asked.get("until")
        if set(asked) - KEPT or (since and since != first_of(since)):
            return None
        if until and until != last_of(until):
            return None
        rows = Turnover.objects.filter(program_id=program_id)
        wanted = {
            "fund": asked.get("fund"),
            "account": asked.get("account"),
            "month__gte": since,
            "month__lte": until,
        }
        return rows.filter(**{name: value for name, value in wanted.items() if value})

    def _asked(self) -> dict[str, Any]:
        """Return what was asked for; what is no choice asks for nothing."""
        if not self.is_bound:
            return {}
        self.form.full_clean()
        asked: dict[str, Any] = self.form.cleaned_data
        return asked
