"""Where a car stands, as the shop changes it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from shared.choices import choices_of
from shared.forms import Form, VersionField
from vehicles.custody.conditions import IN_CARE, MOVES, Mobility, Step

if TYPE_CHECKING:
    from vehicles.custody.models import Condition

# The ways out of the shop are decided elsewhere: they take papers and a second person.
IN_SHOP = frozenset(IN_CARE) - {Step.ABANDONED}


class MoveForm(Form):
    """The step a car goes to within the shop, how it moves, and where it stands."""

    step = forms.TypedChoiceField(label="Step", coerce=Step)
    mobility = forms.TypedChoiceField(
        label="It takes", coerce=Mobility, choices=choices_of(Mobility), widget=forms.RadioSelect
    )
    place = forms.CharField(
        label="Place", required=False, max_length=40, help_text="A bay, a space or an address"
    )
    version = VersionField()

    def __init__(self, *args: Any, condition: Condition, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {}).update(
            step=condition.step,
            mobility=condition.mobility,
            place=condition.place,
            version=condition.version,
        )
        super().__init__(*args, **kwargs)
        self.fields["step"].choices = steps_from(Step(condition.step))  # type: ignore[attr-defined]  # a choice field
        self.fields["step"].error_messages["invalid_choice"] = (
            f"The car can’t go there from “{Step(condition.step).label}”."
        )


def steps_from(now: Step) -> list[tuple[str, str]]:
    """Return the steps to offer: the one the car is in, and those in the shop that may follow."""
    nexts = [step for step in MOVES[now] if step in IN_SHOP]
    return [(step.value, step.label) for step in (now, *nexts)]
