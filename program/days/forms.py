"""What a person types about the days."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from django import forms

from program.cases.models import Case
from program.days.states import TroubleKind
from shared.dates import full_date
from shared.forms import DateField, Form, KeyField, WholeField
from shared.people.models import Person
from vehicles.repairs.models import RepairItem
from vehicles.shop.models import Bay

if TYPE_CHECKING:
    from shared.accounts.models import User

MOST_MINUTES = 3_000
COUNTS = dt.timedelta(days=90)  # work that ran over counts until it is done, or so long


class TroubleForm(Form):
    """The days of a trouble, and why. What it is about comes with its kind."""

    from_on = DateField(label="First day")
    until_on = DateField(label="Last day")
    reason = forms.CharField(label="Why", max_length=200, required=False)
    client_key = KeyField()

    def __init__(self, *args: Any, user: User, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user, self.today = user, today
        for name in ("from_on", "until_on"):
            if name in self.fields:
                self.fields[name].initial = today
        self.offer()

    def offer(self) -> None:
        """Fill what can be chosen from what the user may see."""

    def clean(self) -> dict[str, Any]:
        """Refuse days in the wrong order."""
        values = super().clean() or {}
        first, last = values.get("from_on"), values.get("until_on")
        if first and last and last < first:
            self.add_error("until_on", f"The last day is before {full_date(first)}, the first.")
        return values


class AwayForm(TroubleForm):
    """Somebody is away."""

    person = forms.ModelChoiceField(
        label="Who", queryset=Person.objects.none(), empty_label="Choose"
    )
    field_order = ("person",)

    def offer(self) -> None:
        """Offer everybody who works here."""
        rows = Person.objects.filter(program=self.user.program_id, left_on=None)
        self.fields["person"].queryset = rows  # type: ignore[attr-defined]


class ClosedForm(TroubleForm):
    """A bay is closed."""

    bay = forms.ModelChoiceField(
        label="Which bay", queryset=Bay.objects.none(), empty_label="Choose"
    )
    field_order = ("bay",)

    def offer(self) -> None:
        """Offer the bays that are in use."""
        rows = Bay.objects.filter(program=self.user.program_id, closed_on=None)
        self.fields["bay"].queryset = rows  # type: ignore[attr-defined]


class LateForm(TroubleForm):
    """A part is late: its car comes into no bay before."""

    case = forms.ModelChoiceField(
        label="Which car", queryset=Case.objects.none(), empty_label="Choose"
    )
    field_order = ("case",)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["until_on"].label = "Last day without it"
        del self.fields["from_on"]

    def offer(self) -> None:
        """Offer the cars that are booked."""
        self.fields["case"].queryset = _booked_cases(self.user)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        """Return that it counts from today on."""
        return super().clean() | {"from_on": self.today}


class OverForm(TroubleForm):
    """Work ran over: it takes so many minutes more than thought."""

    item = forms.ModelChoiceField(
        label="Which work", queryset=RepairItem.objects.none(), empty_label="Choose"
    )
    minutes = WholeField(label="More minutes", unit="min", least=1, most=MOST_MINUTES)
    field_order = ("item", "minutes")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["from_on"], self.fields["until_on"]

    def offer(self) -> None:
        """Offer the open work that is booked."""
        field: Any = self.fields["item"]
        self.cases = {case.vehicle_id: case for case in _booked_cases(self.user) if case.vehicle_id}
        field.queryset = (
            RepairItem.objects.open()
            .filter(bookings__ended_at=None, bookings__case__in=self.cases.values())
            .select_related("intake")
            .distinct()
        )
        field.label_from_instance = self._label

    def _label(self, item: RepairItem) -> str:
        case = self.cases.get(item.intake.vehicle_id)
        return f"{case.number if case else ''} {item.title}".strip()

    def clean(self) -> dict[str, Any]:
        """Return whose work it is, and that it counts until it is done."""
        values = super().clean()
        item = values.get("item")
        case = self.cases.get(item.intake.vehicle_id) if item else None
        return values | {"case": case, "from_on": self.today, "until_on": self.today + COUNTS}


def _booked_cases(user: User) -> Any:
    seen = Case.objects.for_user(user).open()
    return seen.filter(bookings__ended_at=None, bookings__isnull=False).distinct()


FORMS: dict[TroubleKind, type[TroubleForm]] = {
    TroubleKind.PERSON_AWAY: AwayForm,
    TroubleKind.BAY_CLOSED: ClosedForm,
    TroubleKind.PART_LATE: LateForm,
    TroubleKind.RAN_OVER: OverForm,
}


class CalendarForm(Form):
    """Whose bookings a calendar shows."""

    person = forms.ModelChoiceField(
        label="Whose",
        queryset=Person.objects.none(),
        required=False,
        empty_label="the whole shop",
    )

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = Person.objects.filter(program=user.program_id, left_on=None)
        self.fields["person"].queryset = rows  # type: ignore[attr-defined]
