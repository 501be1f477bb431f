"""The forms about one person: what is on record, a skill, a paper, and their ends."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from shared.accounts.models import User
from shared.choices import choices_of
from shared.forms import DateField, Form, UnitField, VersionField, WholeField, dress
from shared.people.hours import DAYS, Shift, from_rows, in_order, minutes_of, spans_of
from shared.people.kinds import SKILLS, PaperKind, PersonKind, skill_in_words
from shared.people.queries import users_without_person

if TYPE_CHECKING:
    import datetime as dt

    from shared.people.models import Person, WeekHours

KEPT = ("name", "kind", "born_on", "user", "credential", "pace_percent", "attendance_percent")


class PersonForm(Form):
    """Somebody who works in the shop."""

    name = forms.CharField(label="Name", max_length=120)
    kind = forms.ChoiceField(
        label="Hours are",
        choices=[(PersonKind.PAID, "paid"), (PersonKind.VOLUNTEER, "given, by a volunteer")],
        widget=forms.RadioSelect,
    )
    born_on = DateField(
        label="Born",
        required=False,
        help_text="Nobody under 18 works under a raised car or drives. Pages show only the age.",
    )
    user = forms.ModelChoiceField(
        label="Sign-in",
        queryset=User.objects.none(),
        required=False,
        empty_label="none",
        help_text="What is recorded under this name is taken from people who may do it",
    )
    credential = forms.CharField(
        label="Credential beside the name on papers", max_length=120, required=False
    )
    pace_percent = WholeField(
        label="Pace",
        unit="%",
        least=10,
        most=150,
        initial=100,
        required=False,
        help_text="Book time done in an hour",
    )
    attendance_percent = WholeField(
        label="Hours kept",
        unit="%",
        least=10,
        most=100,
        initial=100,
        required=False,
        help_text="Of those signed up for",
    )

    def __init__(self, *args: Any, user: User, person: Person | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["user"].queryset = users_without_person(user, person)  # type: ignore[attr-defined]
        self.fields["born_on"].latest = user.program.today()  # type: ignore[attr-defined, union-attr]

    def clean_pace_percent(self) -> int:
        """Return the pace; empty is book time."""
        return self.cleaned_data["pace_percent"] or 100

    def clean_attendance_percent(self) -> int:
        """Return the share of hours kept; empty is all."""
        return self.cleaned_data["attendance_percent"] or 100


class PersonEditForm(PersonForm):
    """The same, of a person on record; refuses what somebody else changed meanwhile."""

    version = VersionField()


class SkillForm(Form):
    """What a person is signed off for from a day on."""

    code = forms.ChoiceField(
        label="Signed off for", choices=[(code, skill_in_words(code)) for code in SKILLS]
    )
    since_on = DateField(label="From")
    until_on = DateField(label="Until", required=False, help_text="Empty is until further notice")

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["since_on"].initial = today
        self.fields["since_on"].latest = today  # type: ignore[attr-defined]


class PaperForm(Form):
    """A paper that was seen, with its days."""

    kind = forms.ChoiceField(label="Paper", choices=choices_of(PaperKind))
    number = forms.CharField(label="Number, as on the paper", max_length=60, required=False)
    since_on = DateField(label="Holds from")
    until_on = DateField(
        label="Holds until", required=False, help_text="Its last day; empty where it has none"
    )


class EndForm(Form):
    """The last day of a skill or paper, and why it ends before its time."""

    until_on = DateField(label="Last day that it holds")
    reason = forms.CharField(label="Why", max_length=120)

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["until_on"].initial = today


class LeaveForm(Form):
    """The last day that a person works here."""

    left_on = DateField(
        label="Last day here", required=False, help_text="Empty, if they work here again"
    )
    version = VersionField()


class HoursForm(Form):
    """When somebody comes in one week: a line for each day, or hours on any day."""

    hours = UnitField(
        label="Or on any day",
        unit="hours",
        required=False,
        help_text="Where no time is known yet; with times above it follows from them",
    )
    seen = forms.CharField(widget=forms.HiddenInput, required=False, max_length=1_000)

    def __init__(self, *args: Any, row: WeekHours | None, seen: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kept = from_rows(row.shifts) if row else ()
        days = {}
        for number, day in enumerate(DAYS):
            spans = ", ".join(shift.span for shift in kept if shift.weekday == number)
            days[day.lower()] = _day(day, spans)
        hint = "Such as 17:30-20:30; two stretches with a comma between: 8 to 12, 13 to 16:30"
        days["monday"].help_text = hint
        self.fields = days | self.fields
        self.fields["seen"].initial = seen
        if row and not kept:
            self.fields["hours"].initial = f"{row.minutes // 60}:{row.minutes % 60:02}"
        dress(self)

    def clean(self) -> dict[str, Any]:
        """Return the shifts of the week and the hours on any day, as the action takes them."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        shifts: list[Shift] = []
        for number, day in enumerate(DAYS):
            shifts += self._day(number, day.lower())
        minutes = self._minutes(cleaned.get("hours", ""))
        return {"shifts": tuple(shifts), "minutes": minutes, "seen": cleaned.get("seen", "")}

    def _day(self, number: int, name: str) -> tuple[Shift, ...]:
        try:
            return in_order(spans_of(number, self.cleaned_data.get(name, "")))
        except ValueError as error:
            self.add_error(name, str(error))
            return ()

    def _minutes(self, typed: str) -> int | None:
        try:
            return minutes_of(typed) if typed else None
        except ValueError as error:
            self.add_error("hours", str(error))
            return None


def _day(day: str, spans: str) -> forms.CharField:
    """Return the field of one day with the times that are written for it."""
    return forms.CharField(label=day, required=False, max_length=60, initial=spans)


class SameForm(Form):
    """That a week is to be as the one before."""

    seen = forms.CharField(widget=forms.HiddenInput, required=False, max_length=1_000)


def as_typed(person: Person) -> dict[str, Any]:
    """Return what the form shows of a person at first."""
    return {name: getattr(person, name) for name in (*KEPT, "version")}
