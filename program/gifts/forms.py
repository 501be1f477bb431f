"""What a person types about a gift with a purpose."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from program.gifts.posting import INCOME
from program.ledger.chart import load
from program.ledger.models import Fund
from shared.forms import DateField, Form, KeyField, MoneyField, VersionField
from sponsors.register.models import Sponsor

if TYPE_CHECKING:
    import datetime as dt

    from django.db.models import QuerySet

    from shared.accounts.models import User

ACCOUNTS = [(code, f"{code} {load()[code].name}") for code in INCOME]


class OfferForm(Form):
    """An offered gift: who, how much, what they ask, which fund, on which condition."""

    giver = forms.CharField(label="Who gives", max_length=120)
    sponsor = forms.ModelChoiceField(
        label="Sponsor, if on record",
        queryset=Sponsor.objects.none(),
        required=False,
        empty_label="none",
    )
    cents = MoneyField(label="Amount", least=1)
    income = forms.ChoiceField(label="Income account", choices=ACCOUNTS)
    on = DateField(label="Offered on")
    terms = forms.CharField(
        label="What the giver asks, in their words",
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 4, "class": "in"}),
    )
    fund = forms.ModelChoiceField(
        label="Fund", queryset=Fund.objects.none(), required=False, empty_label="a new fund"
    )
    fund_name = forms.CharField(
        label="Name of the new fund",
        max_length=80,
        required=False,
        help_text="As it stands inside a sentence: “Pruitt gift”. Its rule comes next.",
    )
    lapses_on = DateField(label="Lapses on", required=False)
    barrier = forms.CharField(
        label="Condition",
        max_length=200,
        required=False,
        help_text="What has to be reached before the money is ours, such as: ten cars by June.",
    )
    returns = forms.BooleanField(label="It goes back if that is not reached", required=False)
    arrived = forms.BooleanField(label="The money is here", required=False, initial=True)

    def __init__(self, *args: Any, user: User, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on"].latest = today  # type: ignore[attr-defined]  # a day
        sponsors = Sponsor.objects.for_user(user).active()
        funds = Fund.objects.for_user(user).filter(closed_on=None)
        self.fields["sponsor"].queryset = sponsors  # type: ignore[attr-defined]  # a choice of rows
        self.fields["fund"].queryset = funds  # type: ignore[attr-defined]  # a choice of rows

    def clean(self) -> dict[str, Any]:
        """Hold the gift to one fund, and a return to a condition."""
        typed = super().clean() or self.cleaned_data
        self._check_fund(typed)
        if typed.get("lapses_on") and typed.get("on") and typed["lapses_on"] < typed["on"]:
            self.add_error("lapses_on", "This day lies before the gift was offered.")
        if typed.get("returns") and not typed.get("barrier") and "barrier" not in self.errors:
            self.add_error("barrier", "Say what has to be reached.")
        return typed

    def _check_fund(self, typed: dict[str, Any]) -> None:
        """Refuse two funds, none, a name that an open fund has, and a second last day."""
        if {"fund", "fund_name"} & set(self.errors):
            return
        fund, name = typed["fund"], typed["fund_name"]
        open_funds: QuerySet[Fund] = self.fields["fund"].queryset  # type: ignore[attr-defined]  # rows
        if bool(fund) == bool(name):
            self.add_error("fund_name", "Choose an open fund, or name a new one.")
        elif name and open_funds.filter(name__iexact=name).exists():
            self.add_error("fund_name", f"The {name} is open already. Choose it above.")
        if fund and typed.get("lapses_on"):
            self.add_error("lapses_on", "An open fund has its own day.")


class NewOfferForm(OfferForm):
    """A gift that is entered."""

    client_key = KeyField()


class EditOfferForm(OfferForm):
    """A gift that is changed before it is decided."""

    version = VersionField()


class ReceiveForm(Form):
    """The day on which the money came."""

    on = DateField(label="The money came on")
    version = VersionField()

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on"].latest = today  # type: ignore[attr-defined]  # a day


class AcceptForm(ReceiveForm):
    """Why a gift is accepted, and the day on which it is booked."""

    on = DateField(label="Booked on")
    reason = forms.CharField(label="Why it is accepted", max_length=200)


class MeetForm(ReceiveForm):
    """The day on which the condition was reached, and how that is known."""

    on = DateField(label="Reached on")
    reason = forms.CharField(label="How that is known", max_length=200)


class RefuseForm(Form):
    """Why a gift is refused."""

    reason = forms.CharField(label="Why it is refused", max_length=200)
    version = VersionField()


class TakeBackForm(Form):
    """Why the last step of a gift is taken back."""

    reason = forms.CharField(label="Why", max_length=200, help_text="It stays in the log.")
    version = VersionField()
