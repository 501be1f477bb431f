"""What a person types of a grant and of its claims."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from program.grants.claiming import account_name, cost_accounts
from program.grants.sheet import answer_choices, cost_choices
from program.grants.states import ClaimCycle, GrantPays
from program.grants.writing import Award
from program.ledger.chart import load
from program.ledger.models import Fund
from shared.forms import DateField, Form, KeyField, MoneyField, VersionField, WholeField

if TYPE_CHECKING:
    from program.grants.models import Claim, Grant
    from shared.accounts.models import User

PAYS = [
    (GrantPays.AFTER, "After: costs are paid from other money first, and claimed"),
    (GrantPays.AHEAD, "Ahead: the money lies in its fund, and costs are reported"),
]
CYCLES = [
    (ClaimCycle.MONTHLY, "Each month"),
    (ClaimCycle.QUARTERLY, "Each quarter of the calendar"),
    (ClaimCycle.ONCE, "Once, at the end"),
]
ACCOUNTS = [(code, account_name(code)) for code in cost_accounts(load())]
AWARD = tuple(Award.__dataclass_fields__)
MOST_DUE_DAYS = 365
LONGEST_ID = 19  # digits


class GrantForm(Form):
    """The terms of an award."""

    funder = forms.CharField(label="Funder", max_length=120)
    number = forms.CharField(label="Award number", max_length=40, required=False)
    cents = MoneyField(label="Award", least=1)
    pays = forms.ChoiceField(label="When the money comes", choices=PAYS, widget=forms.RadioSelect)
    own_percent = WholeField(
        label="Own share of each allowed cost",
        unit="percent",
        most=99,
        initial=0,
        help_text="0 where the funder pays allowed cost whole.",
    )
    begins_on = DateField(label="First day of allowed cost")
    ends_on = DateField(label="Last day of allowed cost")
    cycle = forms.ChoiceField(
        label="How often it is claimed or reported", choices=CYCLES, widget=forms.RadioSelect
    )
    due_days = WholeField(
        label="Due after a cycle ends", unit="days", most=MOST_DUE_DAYS, initial=30
    )
    accounts = forms.MultipleChoiceField(
        label="Accounts whose cost it allows",
        choices=ACCOUNTS,
        widget=forms.CheckboxSelectMultiple,
        required=False,
        help_text="None ticked: every account of cost that is paid with money.",
    )
    terms = forms.CharField(
        label="Terms",
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="What else the award letter asks: reports, notices, who to write to.",
    )

    def clean(self) -> dict[str, Any]:
        """Return the award as one value, beside what is not of it."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return typed
        award = Award(**{name: typed[name] for name in AWARD})
        return {"award": award} | {key: typed[key] for key in typed if key not in AWARD}


class NewGrantForm(GrantForm):
    """An award, and the fund it hangs on: one that is there, or a new one."""

    fund = forms.ModelChoiceField(
        label="Fund",
        queryset=Fund.objects.none(),
        required=False,
        empty_label="a new fund, named below",
        help_text="Its rule says what the grant may pay for; it is written on the fund’s page.",
    )
    fund_code = forms.CharField(label="Code of a new fund", max_length=20, required=False)
    fund_name = forms.CharField(
        label="Name of a new fund",
        max_length=80,
        required=False,
        help_text="As it stands in a sentence: Orrin County commuter grant.",
    )
    client_key = KeyField()

    field_order = ("funder", "number", "fund", "fund_code", "fund_name")

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        free: Any = self.fields["fund"]
        free.queryset = Fund.objects.for_user(user).filter(
            restricted=True, grant=None, closed_on=None
        )


class EditGrantForm(GrantForm):
    """Other terms of a grant that is there."""

    version = VersionField()

    def __init__(self, *args: Any, grant: Grant, **kwargs: Any) -> None:
        start = {name: getattr(grant, name) for name in (*AWARD, "version")}
        super().__init__(*args, initial=start, **kwargs)


class BeginForm(Form):
    """Which cycle is claimed, by its last day."""

    until_on = DateField(label="Cycle", widget=forms.HiddenInput)


class OfClaim(Form):
    """A form about one claim as the person saw it."""

    version = VersionField()

    def __init__(self, *args: Any, claim: Claim, **kwargs: Any) -> None:
        self.claim = claim
        start = {"version": claim.version} | kwargs.pop("initial", {})
        super().__init__(*args, initial=start, **kwargs)


class ChooseForm(OfClaim):
    """Which of the costs shown stand in a draft: ids of transfers."""

    shown = forms.TypedMultipleChoiceField(coerce=int, required=False)
    chosen = forms.TypedMultipleChoiceField(coerce=int, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("shown", "chosen"):
            sent = self.data.getlist(name) if hasattr(self.data, "getlist") else []
            known: Any = self.fields[name]
            known.choices = [
                (one, one)
                for one in sent
                if one.isascii() and one.isdigit() and len(one) < LONGEST_ID
            ]


class SendForm(OfClaim):
    """The day on which a claim went to the funder."""

    on = DateField(label="Sent on")


class PayForm(OfClaim):
    """What the bank shows of a claim's money, and the day on which it does."""

    cents = MoneyField(label="Amount paid", least=1)
    on = DateField(label="Day the bank shows")


class RefuseForm(OfClaim):
    """What a funder refused of a claim, why, and which costs it left out."""

    cents = MoneyField(label="Amount refused", least=1)
    on = DateField(label="Day of its letter")
    reason = forms.CharField(label="Why, as the funder says it", max_length=200)
    freed = forms.TypedMultipleChoiceField(
        label="Costs refused whole",
        coerce=int,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="A ticked cost leaves this claim: another grant may claim it, this one may not.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        costs: Any = self.fields["freed"]
        costs.choices = cost_choices(self.claim)


class TakeBackForm(OfClaim):
    """Which answer was booked by mistake, and why it is taken back."""

    answer = forms.TypedChoiceField(label="Answer", coerce=int, widget=forms.RadioSelect)
    reason = forms.CharField(label="Why", max_length=200, help_text="It stays in the log.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        answers: Any = self.fields["answer"]
        answers.choices = answer_choices(self.claim)
        if len(answers.choices) == 1:
            answers.initial = answers.choices[0][0]


class WithdrawForm(OfClaim):
    """Why a claim is withdrawn."""

    reason = forms.CharField(
        label="Why", max_length=200, help_text="It stays on the claim. Its costs are free again."
    )
