"""Forms of a diagnosis, each of one action."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django import forms
from django.core.exceptions import ValidationError

from shared.choices import choices_of
from shared.forms import DateField, Form, KeyField, VersionField, WholeField
from vehicles.diagnosis.kinds import Ended, Verified
from vehicles.diagnosis.modelfile import problems
from vehicles.diagnosis.values import Seen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shared.problems import Problem
    from vehicles.diagnosis.fault_model import Check, Fault, FaultModel
    from vehicles.diagnosis.spoken import Spoken, Told
    from vehicles.diagnosis.values import Step

NO_ANSWER: Final = "Choose one of the answers."
COULD_NOT: Final = "-"  # no outcome has such a code
NOT_LISTED_HERE: Final = "-"  # and no fault
#: Why a check could not be done, as a technician says it.
REASONS: Final = (
    "Tool not here",
    "Part not accessible",
    "Not safe to do now",
    "Weather or light",
    "No time",
    "Another reason",
)


class BeginForm(Form):
    """Which complaint is looked into."""

    complaint = forms.CharField(max_length=40, widget=forms.HiddenInput)
    client_key = KeyField()


class VerifyForm(Form):
    """Whether the complaint showed."""

    verified = forms.TypedChoiceField(
        label="Did it show?",
        choices=[
            (Verified.SHOWN, "Yes, I saw, heard or felt it"),
            (Verified.NOT_SHOWN, "No, it could not be shown"),
        ],
        coerce=Verified,
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": NO_ANSWER},
    )
    note = forms.CharField(label="How, and under what conditions", max_length=300, required=False)


class ObserveForm(Form):
    """What one check showed, or why it could not be done."""

    outcome = forms.ChoiceField(
        label="What did you see?",
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": NO_ANSWER},
    )
    could_not = forms.ChoiceField(
        label="If you could not look: why",
        choices=[("", "–"), *((why, why) for why in REASONS)],
        required=False,
    )
    note = forms.CharField(
        label="Note", max_length=500, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )
    seen_id = forms.IntegerField(required=False, widget=forms.HiddenInput)
    client_key = KeyField()

    def __init__(self, *args: Any, check: Check, step: Step | None = None, **kwargs: Any) -> None:
        initial: dict[str, Any] = {"seen_id": None, "note": ""}
        if step:
            initial = {"seen_id": step.pk, "note": step.note}
            initial["outcome"], initial["could_not"] = step.outcome or COULD_NOT, step.could_not
        super().__init__(*args, initial=initial, **kwargs)
        self.check = check
        field: Any = self.fields["outcome"]
        field.label = "What did they say?" if check.asked else "What did you see?"
        missed = "They could not say" if check.asked else "Could not look"
        outcomes = [(one.code, one.label) for one in check.outcomes]
        field.choices = [*outcomes, (COULD_NOT, missed)]
        if check.asked:
            del self.fields["could_not"]

    def seen(self) -> Seen:
        """Return what was seen, as the action takes it."""
        cleaned = self.cleaned_data
        missed = cleaned["outcome"] == COULD_NOT
        reason = "The household could not say" if self.check.asked else cleaned["could_not"]
        return Seen(
            check=self.check.code,
            outcome="" if missed else cleaned["outcome"],
            could_not=reason if missed else "",
            note=cleaned["note"],
            seen_id=cleaned["seen_id"],
        )

    def clean(self) -> dict[str, Any]:
        """Ask for the reason where nothing was seen."""
        cleaned: dict[str, Any] = super().clean() or {}
        asks = "could_not" in self.fields and cleaned.get("outcome") == COULD_NOT
        if asks and not cleaned.get("could_not"):
            self.add_error("could_not", "Say why it could not be done.")
        return cleaned


class TakeCodesForm(Form):
    """Which checks take over what the trouble codes say of them."""

    checks = forms.MultipleChoiceField(
        label="Take over",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": "No code speaks to this check."},
    )
    note = forms.CharField(
        label="Note",
        max_length=300,
        required=False,
        help_text="Needed where something stands against it: how the codes came, why they count.",
    )
    scan = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, told: Told, **kwargs: Any) -> None:
        first = {"scan": told.scan, "checks": told.ticked}
        super().__init__(*args, initial=first, auto_id="codes-%s", **kwargs)
        field: Any = self.fields["checks"]
        # One that is recorded meanwhile is no mistake: it is left as it stands.
        field.choices = [(one.spoken.check, str(one.spoken.sentence)) for one in told.rows]
        field.widget.choices = [(one.spoken.check, _offer(one.spoken)) for one in told.open]


def _offer(one: Spoken) -> str:
    return f"{one.sentence} Only pending: seen once." if one.pending else str(one.sentence)


class SetupForm(Form):
    """Something that is set up now, or no longer."""

    code = forms.CharField(max_length=20, widget=forms.HiddenInput)
    made = forms.BooleanField(required=False, widget=forms.HiddenInput)


class EndForm(Form):
    """How a diagnosis ends."""

    how = forms.TypedChoiceField(
        label="How it ends",
        choices=choices_of(Ended),
        coerce=Ended,
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": NO_ANSWER},
    )
    because = forms.CharField(
        label="Because",
        max_length=300,
        required=False,
        help_text="Needed unless faults are concluded.",
    )


class ConcludeForm(Form):
    """A fault that a person signs for; without its rule being met, with a reason."""

    fault = forms.CharField(max_length=40, widget=forms.HiddenInput)


class OverruleForm(Form):
    """A fault that a person concludes against what was computed."""

    fault = forms.ChoiceField(label="Fault")
    because = forms.CharField(
        label="Because",
        max_length=300,
        help_text="What you saw that the checks do not ask for. It stands in the case report.",
    )

    def __init__(self, *args: Any, faults: list[Fault], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field: Any = self.fields["fault"]
        field.choices = [(fault.code, fault.title) for fault in faults]


class WithdrawForm(Form):
    """Why a conclusion is taken back."""

    because = forms.CharField(label="Because", max_length=200)


class HeldForm(Form):
    """Whether a repair held, and what it proved."""

    gone = forms.TypedChoiceField(
        label="Is the complaint gone?",
        choices=[("yes", "Yes, gone and not back"), ("no", "No, it is back or never went")],
        coerce=lambda typed: typed == "yes",
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": NO_ANSWER},
    )
    causes = forms.MultipleChoiceField(
        label="Which cause did the repair prove?",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="What was really broken, also where something else was concluded. "
        "Nothing where the complaint is not gone.",
    )
    asked_on = DateField(label="Asked or tried on")
    note = forms.CharField(label="Note", max_length=300, required=False)

    def __init__(
        self,
        *args: Any,
        model: FaultModel,
        concluded: set[str],
        is_early: bool = False,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        if is_early:
            self._only_not_held()
            return
        faults = sorted(model.faults, key=lambda one: one.code not in concluded)
        titles = [
            (one.code, f"{one.title} (concluded)" if one.code in concluded else one.title)
            for one in faults
        ]
        field: Any = self.fields["causes"]
        field.choices = [*titles, (NOT_LISTED_HERE, "Something that is not listed here")]

    def _only_not_held(self) -> None:
        """Leave the one answer that can be given before the day to ask on."""
        gone: Any = self.fields["gone"]
        gone.choices = [one for one in gone.choices if one[0] == "no"]
        del self.fields["causes"]

    def clean_causes(self) -> list[str]:
        """Return the codes as the action takes them."""
        typed: list[str] = self.cleaned_data["causes"]
        return ["" if one == NOT_LISTED_HERE else one for one in typed]


class ModelTextForm(Form):
    """The text of a fault model, and why it changes; `mistakes` are all of those in the text."""

    text = forms.CharField(
        label="Text",
        strip=False,
        widget=forms.Textarea(attrs={"rows": 32, "class": "code", "spellcheck": "false"}),
    )
    because = forms.CharField(label="Because", max_length=200)
    seen_number = VersionField(initial=0)

    mistakes: Sequence[Problem] = ()

    def clean(self) -> dict[str, Any]:
        if "check" in self.data:  # nothing is saved, so no reason is needed
            self.errors.pop("because", None)
        return super().clean() or {}

    def clean_text(self) -> str:
        text: str = self.cleaned_data["text"].replace("\r\n", "\n")
        self.mistakes = problems(text)
        if self.mistakes:
            raise ValidationError(f"To put right: {len(self.mistakes)}. Nothing was changed.")
        return text


class ModelUploadForm(Form):
    """Fault models of another program."""

    file = forms.FileField(
        label="File",
        help_text="One fault model (.toml), or a .zip of them.",
        widget=forms.FileInput(attrs={"accept": ".toml,.zip"}),
    )


class TakeOverForm(WithdrawForm):
    """Why the models that were shown are taken over; `parcel` holds them, signed."""

    parcel = forms.CharField(widget=forms.HiddenInput)


class ExperienceForm(Form):
    """How much the garage's own cars weigh in a diagnosis that begins from today on."""

    learn = forms.BooleanField(label="Own cars move the weights", required=False)
    worth = WholeField(label="Shipped weights count for", unit="cars", most=10_000)
    because = forms.CharField(label="Because", max_length=200, help_text="Who decided it, and why.")
