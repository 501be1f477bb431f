"""Forms of trouble codes, each of one action."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any, Final

from django import forms

from shared.choices import choices_of
from shared.forms import Form, KeyField, UnitField
from vehicles.codes.actions import DOUBTFUL
from vehicles.codes.kinds import Lamp
from vehicles.codes.urgency import signs_of
from vehicles.codes.values import CodesRead, Sign

if TYPE_CHECKING:
    from django.core.exceptions import ValidationError

    from vehicles.intake.models import Intake

LAMPS: Final = [
    (Lamp.OFF, "Off while the engine runs"),
    (Lamp.STEADY, "Lit steadily"),
    (Lamp.FLASHING, "Flashing"),
    (Lamp.UNKNOWN, "Nobody looked"),
]


class ScanForm(Form):
    """One reading of the codes: the battery first, then the lamp, then the list."""

    volts = UnitField(
        label="Battery at rest",
        unit="V",
        required=False,
        help_text="First, with everything off. Under 12.4 V charge it, then read the codes.",
    )
    lamp = forms.TypedChoiceField(
        label="Check-engine lamp", choices=LAMPS, coerce=Lamp, widget=forms.RadioSelect
    )
    signs = forms.MultipleChoiceField(
        label="Seen on the car",
        choices=choices_of(Sign),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Each makes every code count one step worse. Ticked here: lit at arrival.",
    )
    pasted = forms.CharField(
        label="Codes",
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 5, "spellcheck": "false", "autocapitalize": "none"}),
        help_text="Typed, or pasted as any tool lists them: P0301, P0420 pending, C0035-0F.",
    )
    as_it_is = forms.BooleanField(
        label="Record it all the same",
        required=False,
        widget=forms.HiddenInput,
        help_text="What could not be read stays as text. Nothing is changed.",
    )
    complete = forms.BooleanField(
        label="All modules were read",
        required=False,
        help_text="Then a code that is not in the list was not stored.",
    )
    freeze_frame = forms.CharField(
        label="Freeze frame",
        required=False,
        max_length=4_000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Write it down before anybody clears the codes: it goes with them.",
    )
    note = forms.CharField(label="Note", required=False, max_length=150)
    client_key = KeyField()

    def __init__(self, *args: Any, stay: Intake, **kwargs: Any) -> None:
        lit = signs_of(stay.lamps)
        seen = [one.value for one in Sign if getattr(lit, one.value)]
        super().__init__(*args, initial={"lamp": lit.lamp, "signs": seen}, **kwargs)

    def clean(self) -> dict[str, Any]:
        """Put what was typed together, as the action takes it."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return cleaned
        cleaned["signs"] = frozenset(cleaned["signs"])
        read = CodesRead(**{one.name: cleaned.pop(one.name) for one in fields(CodesRead)})
        return cleaned | {"read": read}

    def refuse(self, refusal: ValidationError) -> None:
        """Offer to record a doubtful list as it stands, once its lines have been named."""
        super().refuse(refusal)
        if self.has_error("pasted", DOUBTFUL):
            self.fields["as_it_is"].widget = forms.CheckboxInput()


class ClearForm(Form):
    """That the codes were cleared."""


class WithdrawForm(Form):
    """Why a reading is withdrawn."""

    because = forms.CharField(
        label="Because", max_length=200, help_text="It stays on record and no longer counts."
    )
