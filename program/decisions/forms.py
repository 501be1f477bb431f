"""An authorization, a supplement and its two answers, as they are typed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.conf import settings

from program.decisions.approving import MOST_REASON
from program.decisions.authorization import seen_key
from program.decisions.sheet import OwnerAnswer
from shared.forms import Form, KeyField, VersionField
from vehicles.custody.forms import one_of
from vehicles.custody.kinds import SignedHow
from vehicles.custody.models import Owner
from vehicles.custody.values import strokes_of
from vehicles.intake.models import Photo
from vehicles.repairs.models import RepairItem

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from program.decisions.models import Supplement
    from program.decisions.queries import Work
    from program.decisions.sheet import Words
    from vehicles.repairs.models import Estimate

ANSWERS = {"yes": True, "no": False}


class Renewed(Form):
    """A form that was refused and stands again, with what has changed meanwhile."""

    def renew(self, **values: object) -> None:
        """Take hidden values as they are now; what was typed stays."""
        data: Any = self.data
        sent = data.copy()
        for name, value in values.items():
            sent[name] = str(value)
        self.data = sent


class AuthorizeForm(Renewed):
    """The estimate and the amount on screen, as one button sends them."""

    button = "Authorize this amount"

    estimate = forms.IntegerField(widget=forms.HiddenInput)
    cents = forms.IntegerField(widget=forms.HiddenInput)
    client_key = KeyField()

    def __init__(self, *args: Any, estimate: Estimate | None, **kwargs: Any) -> None:
        if estimate:
            kwargs["initial"] = {"estimate": estimate.number, "cents": estimate.p80_cents}
        super().__init__(*args, **kwargs)


class BecauseForm(Form):
    """A reason, of what ends or is taken back."""

    because = forms.CharField(label="Reason", max_length=MOST_REASON)


class EndForm(BecauseForm):
    """Why an authorization ends."""

    button = "End this authorization"


class WithdrawForm(BecauseForm, Renewed):
    """Why a supplement is taken back."""

    button = "Take it back"
    version = VersionField()

    def __init__(self, *args: Any, supplement: Supplement, **kwargs: Any) -> None:
        super().__init__(*args, initial={"version": supplement.version}, **kwargs)


class SupplementForm(Renewed):
    """What was found, why it is needed, and the photo that shows it."""

    button = "Ask for this supplement"

    items = forms.ModelMultipleChoiceField(
        label="Work that is asked for",
        queryset=RepairItem.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        help_text="Open on this car. What the estimate did not count is ticked.",
    )
    reason = forms.CharField(
        label="What was found, and why it can’t wait",
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Two lines, as the owner will hear them",
    )
    photo = forms.ModelChoiceField(
        label="The photo that shows it",
        queryset=Photo.objects.none(),
        widget=forms.RadioSelect,
        empty_label=None,
    )
    seen = forms.CharField(max_length=40, widget=forms.HiddenInput)
    client_key = KeyField()

    def __init__(
        self,
        *args: Any,
        work: Work,
        items: Sequence[RepairItem],
        photos: Sequence[Photo],
        counted: Collection[int],
        **kwargs: Any,
    ) -> None:
        kwargs["initial"] = {
            "items": [one.pk for one in items if one.pk not in counted],
            "seen": seen_key(work.forecast.total_cents, work.minutes),
        }
        super().__init__(*args, **kwargs)
        self._offer("items", RepairItem, items)
        self._offer("photo", Photo, photos)
        self.fields["items"].error_messages["required"] = "Tick the work that is asked for."
        self.fields["photo"].error_messages["required"] = "A supplement needs a photo of the car."

    def _offer(self, name: str, model: Any, rows: Sequence[Any]) -> None:
        """Let a field choose among rows that were read already."""
        field: Any = self.fields[name]
        field.queryset = model.objects.filter(pk__in=[row.pk for row in rows])
        field.choices = [(row.pk, str(row)) for row in rows]
        field.error_messages["invalid_choice"] = "This is not of this car any more. Look again."


class BudgetForm(Renewed):
    """What the budget says."""

    button = "Record the answer"

    yes = forms.TypedChoiceField(
        label="The budget says",
        coerce=ANSWERS.get,
        choices=[("yes", "Yes: this amount may be spent"), ("no", "No")],
        widget=forms.RadioSelect,
    )
    because = forms.CharField(
        label="Reason", max_length=150, required=False, help_text="Needed for a no"
    )
    version = VersionField()

    def __init__(self, *args: Any, supplement: Supplement, **kwargs: Any) -> None:
        super().__init__(*args, initial={"version": supplement.version}, **kwargs)


class OwnerForm(Renewed):
    """What the owner says to it, how, and with whose help."""

    button = "Record the answer"

    yes = forms.TypedChoiceField(
        label="The owner says",
        coerce=ANSWERS.get,
        choices=[("yes", "Yes"), ("no", "No")],
        widget=forms.RadioSelect,
    )
    signed = forms.ModelMultipleChoiceField(
        label="Who said it",
        queryset=Owner.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        help_text="Only who may sign the repair",
    )
    how = one_of(SignedHow, "How", but=(SignedHow.IMPORTED,), initial="paper")
    witness = forms.CharField(
        label="Witness", required=False, max_length=120, help_text="Who heard it on the phone too"
    )
    interpreter = forms.CharField(label="Interpreter", required=False, max_length=120)
    because = forms.CharField(
        label="Reason", required=False, max_length=150, help_text="Needed for a no"
    )
    language = forms.ChoiceField(choices=settings.LANGUAGES, widget=forms.HiddenInput)
    read = forms.CharField(max_length=64, widget=forms.HiddenInput)
    strokes = forms.CharField(required=False, max_length=100_000, widget=forms.HiddenInput)
    version = VersionField()

    def __init__(
        self,
        *args: Any,
        supplement: Supplement,
        words: Words,
        signers: Sequence[Owner],
        **kwargs: Any,
    ) -> None:
        kwargs["initial"] = {
            "language": words.language,
            "read": words.digest,
            "version": supplement.version,
            "signed": [one.pk for one in signers] if len(signers) == 1 else [],
        }
        super().__init__(*args, **kwargs)
        signed: Any = self.fields["signed"]
        signed.queryset = Owner.objects.filter(pk__in=[one.pk for one in signers])
        signed.choices = [(one.pk, one.name) for one in signers]
        signed.error_messages["required"] = "Tick who said it."

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        strokes = cleaned.pop("strokes", "")
        cleaned["strokes"] = []
        if cleaned.get("yes") and cleaned.get("how") is SignedHow.SCREEN:
            try:
                cleaned["strokes"] = strokes_of(strokes)
            except ValueError as error:
                self.add_error("strokes", str(error))
        if self.errors:
            return cleaned
        return {"answer": OwnerAnswer(**cleaned | {"signed": list(cleaned["signed"])})}
