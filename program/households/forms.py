"""What is asked about a household: how it may be reached, where it stands, who is tied to it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from program.households.stages import MOVES, Stage
from shared.accounts.models import User
from shared.forms import DateField, Form, VersionField
from shared.outbox.contact import Channel, MaySay

if TYPE_CHECKING:
    from program.households.models import Household

CHANNELS = {
    Channel.EMAIL: "Mail",
    Channel.TEXT: "Text message",
    Channel.PHONE: "Phone call",
    Channel.POST: "Letter",
}
MAY_SAY = {
    MaySay.PROGRESS: "How the car is doing; a private page is allowed",
    MaySay.CALL_BACK: "Only “call us back”, without saying why",
    MaySay.NOTHING: "Nothing; wait until they call",
}


class ContactForm(Form):
    """The safe-contact rule, asked before the first message."""

    channel = forms.ChoiceField(
        label="How to reach them",
        choices=[(key.value, words) for key, words in CHANNELS.items()],
        widget=forms.RadioSelect,
    )
    says = forms.ChoiceField(
        label="What may be said to whoever reads it",
        choices=[(key.value, words) for key, words in MAY_SAY.items()],
        widget=forms.RadioSelect,
    )
    barred = forms.BooleanField(
        label="Contact could put a person in danger",
        help_text="No mail, no link. The household calls us.",
        required=False,
    )
    email = forms.CharField(label="Mail address", max_length=254, required=False)
    phone = forms.CharField(label="Phone", max_length=30, required=False)
    language = forms.ChoiceField(
        label="Language", choices=[("en", "English"), ("es", "Español")], widget=forms.RadioSelect
    )
    hours = forms.CharField(
        label="Hours", max_length=60, required=False, help_text="When to call, such as 9:00-17:00."
    )
    speaks_for = forms.CharField(
        label="Who may speak for them",
        max_length=120,
        required=False,
        help_text="A co-owner or partner who isn't named here hears nothing.",
    )
    asked_on = DateField(label="Asked on")
    version = VersionField()

    @classmethod
    def for_household(cls, household: Household, data: Any = None) -> ContactForm:
        """Return the form as the rule stands, or with what was typed."""
        names = ("channel", "says", "barred", "email", "phone", "language", "hours", "speaks_for")
        initial = {name: getattr(household.address, name) for name in (*names, "version")}
        today = household.program.today()
        asked_on = household.safe_contact_on or today
        form = cls(data, initial=initial | {"asked_on": asked_on})
        form.fields["asked_on"].latest = today  # type: ignore[attr-defined]  # a day
        return form

    def clean_channel(self) -> Channel:
        return Channel(self.cleaned_data["channel"])

    def clean_says(self) -> MaySay:
        return MaySay(self.cleaned_data["says"])


class StageForm(Form):
    """The stage that follows."""

    to = forms.ChoiceField(label="Stage", widget=forms.RadioSelect)
    reason = forms.CharField(
        label="Reason",
        max_length=500,
        required=False,
        help_text="Needed for declined, withdrawn and referred. No names: it stays in the log.",
    )
    version = VersionField()

    def __init__(self, household: Household, data: Any = None) -> None:
        super().__init__(data, initial={"version": household.version})
        nexts = MOVES[Stage(household.stage)]
        choices: Any = self.fields["to"]
        choices.choices = [(stage.value, stage.label) for stage in nexts]
        now = Stage(household.stage).label
        choices.error_messages["invalid_choice"] = f"This stage can’t follow “{now}”."

    def clean_to(self) -> Stage:
        return Stage(self.cleaned_data["to"])


class TieForm(Form):
    """Who may neither see nor decide for the household."""

    user = forms.ModelChoiceField(label="Who is tied", queryset=User.objects.none())

    def __init__(self, household: Household, data: Any = None) -> None:
        super().__init__(data)
        users: Any = self.fields["user"]
        users.queryset = User.objects.filter(
            program_id=household.program_id, is_active=True
        ).order_by("first_name", "last_name", "pk")
