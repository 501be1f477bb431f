"""The forms about one person: what is on record, a skill, a paper, and their ends."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from shared.accounts.models import User
from shared.choices import choices_of
from shared.forms import DateField, Form, VersionField, WholeField
from shared.people.kinds import SKILLS, PaperKind, PersonKind, skill_in_words
from shared.people.queries import users_without_person

if TYPE_CHECKING:
    import datetime as dt

    from shared.people.models import Person

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


def as_typed(person: Person) -> dict[str, Any]:
    """Return what the form shows of a person at first."""
    return {name: getattr(person, name) for name in (*KEPT, "version")}
