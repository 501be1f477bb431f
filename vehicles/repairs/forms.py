"""Repair items, as a technician writes them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from shared.choices import choices_of
from shared.forms import Form, WholeField
from vehicles.inspection.models import Finding
from vehicles.repairs.models import RepairItem
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from vehicles.intake.models import Intake

MOST_MINUTES = 60_000
NOT_HERE = "This is not one of this car."


class AddItemForm(Form):
    """One job: what it is, how long it takes in three points, and which findings it clears."""

    title = forms.CharField(label="What is done", max_length=120)
    system = forms.ChoiceField(label="System", choices=[("", ""), *choices_of(System)])
    labor_low_minutes = WholeField(
        label="Labor, at best", unit="minutes", most=MOST_MINUTES, help_text="If all goes well"
    )
    labor_likely_minutes = WholeField(label="Labor, likely", unit="minutes", most=MOST_MINUTES)
    labor_high_minutes = WholeField(
        label="Labor, at worst", unit="minutes", most=MOST_MINUTES, help_text="If bolts are seized"
    )
    needs_lift = forms.BooleanField(label="It needs a lift", required=False)
    findings = forms.ModelMultipleChoiceField(
        label="Findings it clears",
        queryset=Finding.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": NOT_HERE, "invalid_pk_value": NOT_HERE},
    )

    def __init__(self, *args: Any, stay: Intake, **kwargs: Any) -> None:
        super().__init__(*args, auto_id="add_%s", **kwargs)
        findings = Finding.objects.open().filter(intake=stay)
        self.fields["findings"].queryset = findings  # type: ignore[attr-defined]  # a model field
        if not findings:
            del self.fields["findings"]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        cleaned.setdefault("findings", ())
        return cleaned


class FirstForm(Form):
    """Which of two open items of one car comes before the other."""

    first = forms.ModelChoiceField(
        label="This comes first",
        queryset=RepairItem.objects.none(),
        empty_label="",
        error_messages={"invalid_choice": NOT_HERE},
    )
    item = forms.ModelChoiceField(
        label="Before this",
        queryset=RepairItem.objects.none(),
        empty_label="",
        error_messages={"invalid_choice": NOT_HERE},
    )

    def __init__(self, *args: Any, stay: Intake, **kwargs: Any) -> None:
        super().__init__(*args, auto_id="first_%s", **kwargs)
        items = RepairItem.objects.open().filter(intake=stay)
        for name in ("first", "item"):
            self.fields[name].queryset = items  # type: ignore[attr-defined]  # a model field
