"""What a person says of a line of the list, of a month, and of a duty."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from shared.forms import DateField, Form

if TYPE_CHECKING:
    import datetime as dt

APPLIES = [("yes", "It is done"), ("no", "It does not apply this year")]


class TickForm(Form):
    """A tick, and what was found."""

    note = forms.CharField(label="Note", max_length=300, required=False)


class UndoForm(Form):
    """Why a tick is taken back."""

    because = forms.CharField(label="Why it is taken back", max_length=200)


class OpenForm(Form):
    """Why a month is opened again."""

    reason = forms.CharField(
        label="Why",
        max_length=200,
        help_text="It stands in the history of the month for good. No household’s name.",
    )


class DutyForm(Form):
    """When a duty was done, or why it does not apply."""

    applies = forms.ChoiceField(label="What is so", choices=APPLIES, widget=forms.RadioSelect)
    on = DateField(label="On")
    note = forms.CharField(
        label="Note",
        max_length=300,
        required=False,
        help_text="Who did it elsewhere, a number, or why it does not apply. No household’s name.",
    )

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, initial={"on": today, "applies": "yes"}, **kwargs)
        day: Any = self.fields["on"]
        day.latest = today

    def clean_applies(self) -> bool:
        """Return whether the duty applies."""
        return bool(self.cleaned_data["applies"] == "yes")
