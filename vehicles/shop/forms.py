"""Forms of the shop, each of one action."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any

from django import forms

from shared.choices import choices_of
from shared.forms import DateField, Form, KeyField, VersionField, WholeField
from vehicles.shop.kinds import EquipmentKind
from vehicles.shop.models import Bay
from vehicles.shop.values import Inspected

if TYPE_CHECKING:
    import datetime as dt

    from shared.accounts.models import Program


class BayForm(Form):
    """A bay by its name."""

    name = forms.CharField(label="Name", max_length=40)
    has_lift = forms.BooleanField(label="A lift stands in it", required=False)


class BayEditForm(BayForm):
    """The same, of a bay on record; refuses what somebody else changed meanwhile."""

    version = VersionField()


class CloseDaysForm(Form):
    """Days on which a bay can't be used."""

    from_on = DateField(label="First day")
    until_on = DateField(label="Last day")
    reason = forms.CharField(label="Why", max_length=120)

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["from_on"].initial = today


class CloseForm(Form):
    """Why something is closed or retired for good."""

    because = forms.CharField(label="Why", max_length=200)
    version = VersionField()


class VersionForm(Form):
    """Nothing but that the row is still as it was seen."""

    version = VersionField()


class NothingForm(Form):
    """A button alone."""


class SpaceForm(Form):
    """A space on the lot by its name."""

    name = forms.CharField(
        label="Name",
        max_length=40,
        help_text="As it is written where a car stands: Space 4",
    )
    takes_dead = forms.BooleanField(
        label="A car that doesn’t roll may stand here",
        required=False,
        help_text="Where the flatbed can reach, and where it is in nobody’s way",
    )
    indoors = forms.BooleanField(
        label="Indoors",
        required=False,
        help_text="Never a car whose recall says to park it outside",
    )


class EquipmentEditForm(Form):
    """What a piece is; its due date comes from inspections."""

    name = forms.CharField(label="Name", max_length=80, help_text="As it is marked on the piece")
    kind = forms.ChoiceField(label="Kind", choices=[("", ""), *choices_of(EquipmentKind)])
    bay = forms.ModelChoiceField(
        label="Stops which bay",
        queryset=Bay.objects.none(),
        required=False,
        empty_label="none",
        help_text="While the piece is out of use, so is this bay",
    )
    interval_months = WholeField(
        label="Inspected every",
        unit="months",
        least=1,
        most=120,
        initial=12,
        help_text="The maker or the law may ask for less than usual: lifts and torque wrenches "
        "12, jacks and gloves 6",
    )
    version = VersionField()

    def __init__(self, *args: Any, program: Program, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = Bay.objects.filter(program=program, closed_on=None)
        self.fields["bay"].queryset = rows  # type: ignore[attr-defined]

    def clean_kind(self) -> EquipmentKind:
        """Return the kind as the enum."""
        return EquipmentKind(self.cleaned_data["kind"])


class EquipmentForm(EquipmentEditForm):
    """A new piece, with the last inspection that its certificate tells of."""

    inspected_on = DateField(label="Last inspected", required=False)
    due_on = DateField(label="Next inspection due", help_text="After that day nobody uses it")
    version = None  # type: ignore[assignment]  # a new row has none

    def __init__(self, *args: Any, program: Program, **kwargs: Any) -> None:
        super().__init__(*args, program=program, **kwargs)
        self.fields["inspected_on"].latest = program.today()  # type: ignore[attr-defined]


class InspectionForm(Form):
    """An inspection of a piece, passed or not."""

    on = DateField(label="Inspected on")
    by_name = forms.CharField(
        label="Inspected by",
        max_length=120,
        help_text="With the firm; a lift by somebody qualified for lifts",
    )
    passed = forms.TypedChoiceField(
        label="Result",
        choices=[("yes", "it passed"), ("no", "it failed: it is tagged out at once")],
        coerce=lambda word: word == "yes",
        widget=forms.RadioSelect,
    )
    next_due_on = DateField(
        label="Next due",
        required=False,
        help_text="As the certificate says; empty is the usual interval",
    )
    paper = forms.CharField(
        label="Number of the certificate or invoice", max_length=80, required=False
    )
    note = forms.CharField(label="What was found", max_length=120, required=False)
    client_key = KeyField()

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on"].initial = today
        self.fields["on"].latest = today  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        """Put what was typed together, as the action takes it."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return cleaned
        said = Inspected(**{one.name: cleaned.pop(one.name) for one in fields(Inspected)})
        return cleaned | {"said": said}


class TagOutForm(Form):
    """Why nobody may use a piece."""

    because = forms.CharField(
        label="What is wrong with it",
        max_length=200,
        help_text="It stands on the tag, for whoever would reach for it",
    )


class BackForm(Form):
    """What was done, so that a piece may be used again."""

    because = forms.CharField(label="What was done to it", max_length=200)
    version = VersionField()
