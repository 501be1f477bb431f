"""Prices as somebody heard them, what a job took, and a correction that is adopted or dropped."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django import forms

from shared.choices import choices_of
from shared.dates import full_date, parse_date
from shared.forms import (
    LONGEST,
    CostField,
    DateField,
    Form,
    KeyField,
    MoneyField,
    VersionField,
    WholeField,
)
from vehicles.estimates.bias import LEAST_PERCENT, MOST_PERCENT
from vehicles.estimates.kinds import PriceSource
from vehicles.inspection.ages import tire_made
from vehicles.repairs.ages import (
    LEAST_TREAD_32NDS,
    MOST_BATTERY_YEARS,
    MOST_TIRE_YEARS,
    Aged,
    Worn,
    aged,
)
from vehicles.repairs.parts import PartCondition

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection

    from vehicles.repairs.models import Need, RepairItem

MOST_LEAD_DAYS: Final = 180
MOST_MINUTES: Final = 60_000
MOST_REASON: Final = 200
MOST_TREAD: Final = 32  # a new tire of a car or pickup has 10 to 20; above is a slip (no source)


class WornForm(Form):
    """What is read off a used tire or battery, to know whether it may be used."""

    tread_32nds = WholeField(
        label="Tread, if it is used",
        unit="32nds of an inch",
        most=MOST_TREAD,
        required=False,
        help_text=f"In its shallowest groove. Used tires are taken from {LEAST_TREAD_32NDS}/32 in "
        "on.",
    )
    made = forms.CharField(label="Made on", max_length=LONGEST, required=False)

    def __init__(self, *args: Any, kind: str, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.part, self.today = aged(kind), today
        if self.part is not Aged.TIRE:
            del self.fields["tread_32nds"]
        if self.part is None:
            del self.fields["made"]
            return
        self.fields["made"].label, self.fields["made"].help_text = _MADE[self.part]

    def clean_made(self) -> dt.date | None:
        """Return the day that the date code, or the label, names."""
        typed = self.cleaned_data["made"].strip()
        if not typed:
            return None
        read = tire_made if self.part is Aged.TIRE else _made
        try:
            return read(typed, self.today)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error

    def clean(self) -> dict[str, Any]:
        """Put what was read together, as the action takes it."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        made, tread = cleaned.pop("made", None), cleaned.pop("tread_32nds", None)
        cleaned["worn"] = Worn(made_on=made, tread_32nds=tread)
        return cleaned


_MADE: Final = {
    Aged.TIRE: (
        "Date code, if it is used",
        f"The last four figures after DOT: week, then year. At most {MOST_TIRE_YEARS} years old.",
    ),
    Aged.BATTERY: (
        "Made on, if it is used",
        f"The first day of the month on its label. At most {MOST_BATTERY_YEARS} years old.",
    ),
}


def _made(typed: str, today: dt.date) -> dt.date:
    day = parse_date(typed)
    if day > today:
        raise ValueError(f"{full_date(day)}, has not come yet.")
    return day


class QuoteForm(WornForm):
    """One price from one place, for one unit, before tax."""

    field_order = ("client_key", "supplier", "source", "condition", "tread_32nds", "made")

    client_key = KeyField()
    supplier = forms.CharField(label="Where", max_length=80, help_text="The supplier’s name.")
    source = forms.ChoiceField(
        label="How it is known", choices=[("", ""), *choices_of(PriceSource)]
    )
    condition = forms.ChoiceField(label="Condition", choices=choices_of(PartCondition))
    cents = MoneyField(label="Price", least=0)
    core_cents = CostField(
        label="Deposit on the old part", help_text="Comes back with the old part."
    )
    quoted_on = DateField(label="Said on")
    good_until_on = DateField(label="Good until", required=False)
    lead_days = WholeField(
        label="Until it is there", unit="business days", most=MOST_LEAD_DAYS, required=False
    )
    note = forms.CharField(label="Note", max_length=200, required=False)
    paper = forms.FileField(
        label="The paper",
        required=False,
        error_messages={"empty": "This file is empty. Choose it again."},
        help_text="A PDF of at most 2 MB, or a photo of it.",
        widget=forms.FileInput(attrs={"accept": ".pdf,image/jpeg,image/png,image/webp"}),
    )

    def __init__(
        self,
        *args: Any,
        today: dt.date,
        need: Need | None,
        taken: Collection[str] = (),
        **kwargs: Any,
    ) -> None:
        kwargs["initial"] = {"quoted_on": today, "condition": PartCondition.NEW}
        read = need.kind if need and PartCondition.USED in taken else ""
        super().__init__(*args, kind=read, today=today, **kwargs)
        said: Any = self.fields["quoted_on"]
        said.latest = today
        unit = f"Of one; {need.quantity} are needed. " if need and need.quantity > 1 else ""
        self.fields["cents"].help_text = f"{unit}Without tax."
        if need is None:  # work done elsewhere
            del self.fields["condition"], self.fields["core_cents"]
            self.fields["lead_days"].label = "How long it is away"
        else:
            offered: Any = self.fields["condition"]
            offered.choices = [pair for pair in choices_of(PartCondition) if pair[0] in taken]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        paper = cleaned.get("paper")
        cleaned["paper"] = paper.read() if paper else b""
        if "core_cents" in self.fields:
            cleaned["core_cents"] = cleaned.get("core_cents") or 0
        cleaned["lead_days"] = cleaned.get("lead_days") or 0
        return cleaned


class WithdrawQuoteForm(Form):
    """Why a price is not asked for any more."""

    because = forms.CharField(label="Why it is withdrawn", max_length=MOST_REASON)


class FinishForm(Form):
    """What a job took, and what was paid for it, asked when it is marked done."""

    took_minutes = WholeField(
        label="It took",
        unit="minutes",
        most=MOST_MINUTES,
        required=False,
        help_text="Of everybody who worked on it together, without waiting for a part.",
    )
    cost_cents = CostField(
        label="Paid for parts and work elsewhere",
        help_text="With tax left out. 0: all of it was given. Empty: not known.",
    )


class ActualsForm(FinishForm):
    """The same once the job is done; what was on record changes with a reason."""

    version = VersionField()
    because = forms.CharField(
        label="Why it changes",
        max_length=MOST_REASON,
        required=False,
        help_text="Asked when something was on record.",
    )

    def __init__(self, *args: Any, item: RepairItem, **kwargs: Any) -> None:
        names = ("version", "took_minutes", "cost_cents")
        kwargs["initial"] = {name: getattr(item, name) for name in names}
        super().__init__(*args, **kwargs)


class CorrectionForm(Form):
    """What the program's estimates are corrected by from today on; 100 leaves them alone."""

    labor_correction_percent = WholeField(
        label="Labor counts", unit="percent", least=LEAST_PERCENT, most=MOST_PERCENT
    )
    parts_correction_percent = WholeField(
        label="Parts and work elsewhere count",
        unit="percent",
        least=LEAST_PERCENT,
        most=MOST_PERCENT,
    )
    because = forms.CharField(label="Because", max_length=200, help_text="Who decided it, and why.")
