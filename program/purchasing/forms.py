"""What a person writes down of a need."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django import forms

from program.purchasing.queries import named
from shared.forms import DateField, Form, VersionField
from vehicles.estimates.forms import WornForm
from vehicles.repairs.keeping import LONGEST_NUMBER, Checked
from vehicles.repairs.substitutes import verdicts
from vehicles.repairs.suitability import Answer
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sponsors.pledges.models import Supply
    from vehicles.repairs.models import Need


GONE: Final = "Somebody made sure of it meanwhile, or it is not free any more. Choose again."
OTHER: Final = "Another one, not on our shelf and not pledged"


class ConditionsForm(Form):
    """New, rebuilt, used: those that the rules take at all."""

    may_be = forms.MultipleChoiceField(
        label="What may be bought or taken for it",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Nothing ticked: whatever these rules allow.",
    )
    version = VersionField()

    def __init__(self, data: Any = None, *, need: Need) -> None:
        initial = {"may_be": need.may_be, "version": need.version}
        super().__init__(data, initial=initial, auto_id="conditions_%s")
        rows = verdicts(need.kind, System(need.system))
        taken = [one.condition for one in rows if one.fit.answer is not Answer.DOES_NOT_FIT]
        self.fields["may_be"].choices = [(one.value, one.value) for one in taken]  # type: ignore[attr-defined]
        self.is_choice = len(taken) > 1


class AskForm(Form):
    """By when the person who sends it finds out whether the part fits."""

    until = DateField(label="I find it out by")

    def __init__(self, data: Any = None) -> None:
        super().__init__(data, auto_id="ask_%s")


class FitForm(WornForm):
    """How it became sure that the part fits, and of which unit."""

    field_order = ("how", "unit", "tread_32nds", "made", "part_number")
    unit = forms.TypedChoiceField(
        label="Which one",
        widget=forms.RadioSelect,
        coerce=int,
        error_messages={"invalid_choice": GONE},
    )

    how = forms.ChoiceField(
        label="How it was found out",
        widget=forms.RadioSelect,
        choices=[
            (Checked.COUNTER.name, "Looked up by VIN at the counter"),
            (Checked.OLD_PART.name, "Held against the old part"),
        ],
    )
    part_number = forms.CharField(
        label="Part number",
        required=False,
        max_length=LONGEST_NUMBER,
        help_text="As the counter named it. A part of this number fits without asking again.",
    )

    def __init__(self, data: Any = None, *, need: Need, near: Sequence[Supply] = ()) -> None:
        read = need.kind if any(unit.used for unit in near) else ""
        super().__init__(data, auto_id="fit_%s", kind=read, today=need.program.today())
        self.near = {unit.pk: unit for unit in near}
        if not near:
            del self.fields["unit"]
            return
        named_units = [(pk, _told(unit)) for pk, unit in self.near.items()]
        self.fields["unit"].choices = [*named_units, (0, OTHER)]  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        """Return what was typed, with the unit that was chosen."""
        cleaned = super().clean()
        return cleaned | {"unit": self.near.get(cleaned.get("unit") or 0)}


def _told(unit: Supply) -> str:
    return f"No. {unit.pk}: {named(unit)}{', used' if unit.used else ''}"
