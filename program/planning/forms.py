"""What a person types about a plan."""

from __future__ import annotations

from django import forms

from program.planning.states import PinDirection
from shared.forms import Form


class PinForm(Form):
    """Keep a case in the next plans, or out of them."""

    direction = forms.ChoiceField(
        label="Keep this car",
        choices=[
            (PinDirection.IN.value, "in the plan"),
            (PinDirection.OUT.value, "out of the plan"),
        ],
        widget=forms.RadioSelect,
    )
    reason = forms.CharField(
        label="Why", max_length=200, help_text="The board reads this beside the plan."
    )
