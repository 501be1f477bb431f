"""What a person types into a budget, and how a report is narrowed."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, Final

from django import forms

from program.budget.queries import NO_FUND
from program.budget.states import Start
from program.budget.variance import spread
from program.ledger.chart import Function, Kind, load
from program.ledger.fiscal import MONTHS
from program.ledger.models import Fund
from program.ledger.tables import capital
from shared.choices import choices_of
from shared.forms import LONGEST, Form, MoneyField, VersionField, dress
from shared.money import MINUS, usd

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from django.forms.boundfield import BoundField

    from program.budget.models import BudgetLine
    from shared.accounts.models import User

FLOWS: Final = (Kind.INCOME, Kind.EXPENSE)
LEAST, MOST = -90, 100  # percent
FUNCTIONS: Final = [(one.value, one.value.capitalize()) for one in Function if one.value]


def accounts() -> list[tuple[str, str]]:
    """Return the accounts that a budget may name, an empty one first."""
    named = [(one.code, f"{one.code} {one.name}") for one in load().values() if one.kind in FLOWS]
    return [("", "choose"), *named]


class ReportForm(Form):
    """Which year is shown, and which rows of it."""

    year = forms.TypedChoiceField(label="Year", coerce=int)
    fund = forms.ChoiceField(label="Fund", required=False)
    function = forms.ChoiceField(
        label="Function", required=False, choices=[("", "all"), *FUNCTIONS]
    )

    def __init__(
        self, *args: Any, years: Sequence[tuple[int, str]], funds: Sequence[Fund], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        named = [(fund.code, capital(fund.name)) for fund in funds]
        self.fields["year"].choices = years  # type: ignore[attr-defined]  # a choice field
        self.fields["fund"].choices = [  # type: ignore[attr-defined]  # a choice field
            ("", "all"),
            *named,
            (NO_FUND, "no fund named"),
        ]


class LineForm(Form):
    """One line: what for, and its year as one amount or as twelve."""

    account = forms.ChoiceField(label="Account")
    fund = forms.ModelChoiceField(
        label="Fund",
        queryset=Fund.objects.none(),
        required=False,
        empty_label="any fund",
        help_text="A line of a fund takes its transfers before a line of any fund does.",
    )
    function = forms.ChoiceField(
        label="Function",
        required=False,
        choices=[("", "any function"), *FUNCTIONS],
        help_text="Only for costs, and only where one account is budgeted by function.",
    )
    annual = MoneyField(
        label="The whole year",
        least=0,
        required=False,
        help_text="Spread evenly over the months, to the cent. Empty where the months say it.",
    )
    version = VersionField(required=False)

    def __init__(self, *args: Any, user: User, begins: Sequence[dt.date], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["account"].choices = accounts()  # type: ignore[attr-defined]  # a choice field
        self.fields["fund"].queryset = Fund.objects.for_user(user)  # type: ignore[attr-defined]  # a model field
        for number, month in enumerate(begins, start=1):
            label = f"{month:%B %Y}"
            self.fields[f"m{number}"] = MoneyField(label=label, least=0, required=False)
        dress(self)

    @property
    def about(self) -> list[BoundField]:
        """The fields of the line as a whole."""
        return [self[name] for name in ("account", "fund", "function", "annual")]

    @property
    def each_month(self) -> list[BoundField]:
        """The fields of the twelve months."""
        return [self[f"m{number}"] for number in range(1, MONTHS + 1)]

    @property
    def months_are_used(self) -> bool:
        """Whether a month holds something, so that they are shown."""
        return any(field.value() not in (None, "") or field.errors for field in self.each_month)

    def clean(self) -> dict[str, Any]:
        """Return what the action takes: the months as typed, or the year's amount over them."""
        typed = super().clean() or self.cleaned_data
        names = [f"m{number}" for number in range(1, MONTHS + 1)]
        each = [typed.get(name) for name in names]
        annual = typed.get("annual")
        if any(name in self.errors for name in (*names, "annual")):
            return typed
        if all(cents is None for cents in each):
            if annual is None:
                self.add_error("annual", "Type an amount for the year, or one for each month.")
                return typed
            months = spread(annual)
        else:
            months = tuple(cents or 0 for cents in each)
            if annual is not None and annual != sum(months):
                self.add_error("annual", f"The months make {usd(sum(months))}, not {usd(annual)}.")
        kept = {name: typed.get(name) for name in ("account", "fund", "function")}
        return {name: value for name, value in kept.items() if name in typed} | {
            "months": months,
            **({"version": typed.get("version")} if self.initial.get("version") else {}),
        }


def as_typed(line: BudgetLine) -> dict[str, Any]:
    """Return a line as the form shows it: one amount where it is spread evenly."""
    even = tuple(line.months) == spread(line.cents)
    months = {f"m{number}": cents for number, cents in enumerate(line.months, start=1)}
    return {
        "account": line.account,
        "fund": line.fund_id,
        "function": line.function,
        "version": line.version,
        **({"annual": line.cents} if even else months),
    }


class RemoveForm(Form):
    """The version of the line that a person saw before it is removed."""

    version = VersionField()


class PercentField(forms.CharField):
    """Whole percent up or down; cleaned, an int."""

    unit = "%"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=LONGEST, **kwargs)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {"autocomplete": "off"}

    def clean(self, value: Any) -> int:
        typed = super().clean(value).replace(MINUS, "-")
        if not re.fullmatch(r"[-+]?[0-9]{1,3}", typed) or not LEAST <= int(typed) <= MOST:
            raise forms.ValidationError(
                f"“{typed}” is not possible. Type a whole number from {MINUS}{-LEAST} to {MOST}."
            )
        return int(typed)


class CopyForm(Form):
    """What a year's budget is begun from."""

    start = forms.TypedChoiceField(
        label="Take from the year before",
        choices=choices_of(Start),
        coerce=Start,
        widget=forms.RadioSelect,
        initial=Start.BUDGET,
    )
    percent = PercentField(
        label="Raise every amount by",
        initial=0,
        help_text="A minus lowers. Each line is rounded to the cent.",
    )
