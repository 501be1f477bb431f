"""What a technician types for one point of the sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from shared.forms import Form, KeyField, UnitField, dress
from vehicles.inspection import units
from vehicles.inspection.actions import Typed
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.judge import GOOD
from vehicles.inspection.reading import units_offered

if TYPE_CHECKING:
    from vehicles.inspection.criteria import Criterion, Reason
    from vehicles.inspection.queries import Point

LONGEST = 15  # characters of one number; a reading keeps 40
NO_ANSWER = "“%(value)s” is not an answer here."
MARKED = {"min": "Minimum marked on the part", "max": "Maximum marked on the part"}


class ReadingForm(Form):
    """One number with its unit, or `good` and the reasons that there are against it."""

    client_key = KeyField()
    seen_id = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, point: Point, **kwargs: Any) -> None:
        criterion = point.criterion
        kwargs["auto_id"] = f"{criterion.code}-{point.position}-%s"
        kwargs["initial"] = {
            "seen_id": point.reading.pk if point.reading else None,
            "unit": criterion.unit,
        }
        super().__init__(*args, **kwargs)
        self.point = point
        self.fields |= measured(point) if criterion.is_measured else seen(point)
        dress(self)

    def typed(self) -> Typed:
        """Return what was typed, as the action takes it."""
        criterion, cleaned = self.point.criterion, self.cleaned_data
        value = cleaned["value"]
        if criterion.marked_limit:
            value = f"{value} {criterion.marked_limit} {cleaned['marked']}"
        return Typed(
            criterion=criterion.code,
            position=self.point.position,
            value=value,
            unit=cleaned.get("unit", ""),
            seen_id=cleaned["seen_id"],
            client_key=cleaned["client_key"],
        )

    def show_again(self, point: Point) -> None:
        """Take over the reading that stands now, so that what was typed can be sent again."""
        self.point = point
        self.data = dict(self.data.items()) | {
            "seen_id": str(point.reading.pk) if point.reading else ""
        }


def measured(point: Point) -> dict[str, forms.Field]:
    """Return the fields of a number: the value, the limit marked on the part, the unit."""
    criterion = point.criterion
    number = {"class": "read", "autofocus": True}
    found: dict[str, forms.Field] = {
        "value": UnitField(
            label=point.title,
            unit="",
            max_length=LONGEST,
            help_text=f"{range_of(criterion)}.",
            widget=forms.TextInput(number),
        )
    }
    if criterion.marked_limit:
        found["marked"] = UnitField(
            label=MARKED[criterion.marked_limit],
            unit="",
            max_length=LONGEST,
            widget=forms.TextInput({"class": "read"}),
        )
    offered = units_offered(criterion)
    if len(offered) > 1:
        choices = [(unit.code, unit.name) for unit in offered]
        found["unit"] = forms.ChoiceField(
            label="Unit",
            choices=choices,
            widget=forms.RadioSelect,
            required=False,
            error_messages={"invalid_choice": NO_ANSWER},
        )
    return found


def range_of(criterion: Criterion) -> str:
    """Return the plausible range in each unit offered: `0 to 24/32 in, or 0 to 19.05 mm`."""
    ranges = []
    for unit in units_offered(criterion):
        ends = (
            units.convert(end, criterion.unit, unit.code) for end in (criterion.low, criterion.high)
        )
        low, high = ends
        ranges.append(f"{units.number(low)} to {units.show(high, unit.code)}")
    return ", or ".join(ranges)


def seen(point: Point) -> dict[str, forms.Field]:
    """Return the one field of what is looked at: good, or a reason with its class."""
    choices = [(GOOD, "Good"), *((one.key, _words(one)) for one in point.criterion.reasons)]
    return {
        "value": forms.ChoiceField(
            label=point.title,
            choices=choices,
            widget=forms.RadioSelect,
            error_messages={"invalid_choice": NO_ANSWER},
        )
    }


def _words(reason: Reason) -> str:
    if reason.ranks_as is DeficiencyClass.NONE:
        return reason.text
    return f"{reason.text}: {reason.ranks_as.value}"
