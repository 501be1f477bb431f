"""Forms of wheel torques, each of one action."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any, Final

from django import forms

from shared.forms import Form, KeyField, WholeField
from vehicles.shop.duty import told
from vehicles.shop.models import Equipment
from vehicles.shop.queries import piece
from vehicles.wheels.queries import wrenches
from vehicles.wheels.torque import LEAST_FOOT_POUNDS, MOST_FOOT_POUNDS, WHEELS
from vehicles.wheels.values import Tightened

if TYPE_CHECKING:
    from shared.accounts.models import Program

PLACES: Final = (
    ("LF", "Left front"),
    ("RF", "Right front"),
    ("LR", "Left rear"),
    ("RR", "Right rear"),
)
MOST_MILES: Final = 999_999


class WrenchField(forms.ModelChoiceField):
    """The torque wrenches, each with how it stands today."""

    def label_from_instance(self, obj: Equipment) -> str:
        return str(told(piece(obj), obj.program.today())).rstrip(".")


class TorqueForm(Form):
    """That wheels were tightened with a torque wrench."""

    wrench = WrenchField(
        label="Wrench",
        queryset=Equipment.objects.none(),
        empty_label=None,
        widget=forms.RadioSelect,
        help_text="With one that is overdue or tagged out it is recorded and doesn’t count.",
    )
    foot_pounds = WholeField(
        label="Torque",
        unit="lb-ft",
        least=LEAST_FOOT_POUNDS,
        most=MOST_FOOT_POUNDS,
        help_text="The maker’s figure for this car and these wheels, looked up, not remembered",
    )
    wheels = forms.MultipleChoiceField(
        label="Wheels", choices=PLACES, initial=WHEELS, widget=forms.CheckboxSelectMultiple
    )
    odometer_mi = WholeField(
        label="Odometer",
        unit="miles",
        most=MOST_MILES,
        required=False,
        help_text="From it follows when the nuts are due again",
    )
    is_again = forms.TypedChoiceField(
        label="This is",
        choices=[("no", "the first time after work"), ("yes", "again, after 50 to 100 miles")],
        coerce=lambda word: word == "yes",
        initial="no",
        widget=forms.RadioSelect,
    )
    client_key = KeyField()

    def __init__(self, *args: Any, program: Program, gone: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["wrench"].queryset = wrenches(program)  # type: ignore[attr-defined]
        if gone:
            self.fields["is_again"].initial = "yes"

    def clean(self) -> dict[str, Any]:
        """Put what was typed together, as the action takes it."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return cleaned
        cleaned["wrench_id"] = cleaned.pop("wrench").pk
        cleaned["wheels"] = tuple(cleaned["wheels"])
        said = Tightened(**{one.name: cleaned.pop(one.name) for one in fields(Tightened)})
        return cleaned | {"said": said}


class VoidForm(Form):
    """Why a torque doesn't count."""

    because = forms.CharField(
        label="Because", max_length=200, help_text="It stays on record and no longer counts."
    )
