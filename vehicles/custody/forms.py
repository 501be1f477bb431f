"""Whose a car is, who says yes, where it and its keys are: as the shop types it."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any

from django import forms
from django.conf import settings

from shared.choices import choices_of
from shared.forms import CostField, DateField, Form, KeyField, VersionField, WholeField
from vehicles.custody import kinds
from vehicles.custody.acts import Act, OwnerKind
from vehicles.custody.conditions import IN_CARE, MOVES, Mobility, Step
from vehicles.custody.keeping import TowOrder
from vehicles.custody.models import Owner
from vehicles.custody.queries import may_sign, texts

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection
    from enum import StrEnum

    from vehicles.custody.models import Condition, KeyTag, Standing
    from vehicles.intake.models import Intake

# The ways out of the shop are decided elsewhere: they take papers and a second person.
IN_SHOP = frozenset(IN_CARE) - {Step.ABANDONED}
MOST_BUTTONS = 6
ANSWERS = {"yes": True, "no": False, "unknown": None}


def one_of(kind: type[StrEnum], label: str, but: Collection[StrEnum] = (), **kwargs: Any) -> Any:
    """Return a field for one of an enum: radio buttons, or a list where there are many."""
    named = [(value, label[:1].upper() + label[1:]) for value, label in choices_of(kind)]
    choices = [pair for pair in named if pair[0] not in but]
    few = len(choices) <= MOST_BUTTONS
    return forms.TypedChoiceField(
        label=label,
        coerce=kind,
        choices=choices if few else [("", ""), *choices],
        widget=forms.RadioSelect if few else forms.Select,
        **kwargs,
    )


def yes_or_no(label: str) -> Any:
    """Return a field for yes, no, or nobody knows."""
    return forms.TypedChoiceField(
        label=label,
        coerce=ANSWERS.get,
        choices=[("yes", "Yes"), ("no", "No"), ("unknown", "Nobody knows")],
        widget=forms.RadioSelect,
    )


def answer_of(value: bool | None) -> str:  # noqa: FBT001  # an answer, not a switch
    """Return the choice that stands for a kept answer."""
    return next(name for name, one in ANSWERS.items() if one is value)


class MoveForm(Form):
    """The step a car goes to within the shop, how it moves, and where it stands."""

    step = forms.TypedChoiceField(label="Step", coerce=Step)
    mobility = one_of(Mobility, "How it moves")
    place = forms.CharField(
        label="Place", required=False, max_length=40, help_text="A bay, a space or an address"
    )
    version = VersionField()

    def __init__(self, *args: Any, condition: Condition, **kwargs: Any) -> None:
        names = ("step", "mobility", "place", "version")
        kwargs["initial"] = {name: getattr(condition, name) for name in names}
        super().__init__(*args, **kwargs)
        self.fields["step"].choices = steps_from(Step(condition.step))  # type: ignore[attr-defined]  # a choice field
        self.fields["step"].error_messages["invalid_choice"] = (
            f"The car can’t go there from “{Step(condition.step).label}”."
        )


def steps_from(now: Step) -> list[tuple[str, str]]:
    """Return the steps to offer: the one the car is in, and those in the shop that may follow."""
    nexts = [step for step in MOVES[now] if step in IN_SHOP]
    return [(step.value, step.label) for step in (now, *nexts)]


class DayForm(Form):
    """A form whose day is today unless another one is typed."""

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, initial={"on": today, "paper_seen_on": today}, **kwargs)


class StandingForm(Form):
    """The questions about whose the car is."""

    action = "Ask whose it is"
    lead = "Nobody has to know everything. What nobody knows goes to a person."
    button = "Record the answers"

    paper = one_of(kinds.Paper, "Which paper was seen")
    joined = one_of(kinds.Joined, "If the title names two", help_text="How it joins their names")
    lien = one_of(kinds.Lien, "Is there a lien", help_text="A loan for which a lender may take it")
    hold = one_of(kinds.Hold, "Does a hold stand against it")
    stolen = one_of(kinds.Stolen, "Was it reported stolen")
    papers_agree = yes_or_no("Do plate, door label and paper agree")
    note = forms.CharField(label="Note", required=False, max_length=200)
    version = VersionField(required=False)

    def __init__(self, *args: Any, standing: Standing | None, **kwargs: Any) -> None:
        if standing:
            names = ("paper", "joined", "lien", "hold", "stolen", "note", "version")
            kwargs["initial"] = {name: getattr(standing, name) for name in names}
            kwargs["initial"]["papers_agree"] = answer_of(standing.papers_agree)
        super().__init__(*args, **kwargs)


class DecideForm(Form):
    """Why the work goes on in spite of what stands against the car."""

    action = "Decide on what stands against it"
    lead = "The work goes on in spite of it, in your name. State law decides what a garage may do."
    button = "Let the work go on"

    because = forms.CharField(label="Reason", max_length=160)
    release = forms.CharField(
        label="Number of the police’s release",
        required=False,
        max_length=30,
        help_text="Needed when the car was reported stolen",
    )
    version = VersionField()


class OwnerForm(DayForm):
    """Somebody whom a paper names."""

    action = "Name an owner"
    lead = "As the paper writes the name. Only a paper that was seen counts."
    button = "Record this name"

    name = forms.CharField(label="Name", max_length=120)
    kind = one_of(OwnerKind, "Named by, or as")
    paper_seen_on = DateField(label="Paper seen on")


class ConsentForm(Form):
    """One signature of one owner under the acts they say yes to."""

    action = "An owner’s consent"
    lead = "Let the owner read it, or read it to them. Each act is a yes of its own."
    button = "Record this consent"

    owner = forms.ModelChoiceField(label="Who signs", queryset=Owner.objects.none(), empty_label="")
    acts = forms.TypedMultipleChoiceField(
        label="What they say yes to", coerce=Act, widget=forms.CheckboxSelectMultiple
    )
    until_on = DateField(label="Kept at most until", required=False, help_text="For keeping it")
    how = one_of(kinds.SignedHow, "How", but=(kinds.SignedHow.IMPORTED,), initial="paper")
    given_on = DateField(label="Signed on")
    witness = forms.CharField(
        label="Witness", required=False, max_length=120, help_text="Who heard it on the phone too"
    )
    interpreter = forms.CharField(label="Interpreter", required=False, max_length=120)
    language = forms.ChoiceField(choices=settings.LANGUAGES, widget=forms.HiddenInput)
    read = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)
    strokes = forms.CharField(required=False, max_length=100_000, widget=forms.HiddenInput)
    client_key = KeyField()

    def __init__(self, *args: Any, stay: Intake, language: str, act: str, **kwargs: Any) -> None:
        found = texts(stay, language)
        signers = may_sign(stay)
        initial = {"given_on": stay.program.today(), "language": language, "read": found.digest}
        only = signers[0].pk if len(signers) == 1 else None
        kwargs["initial"] = initial | {"acts": [act] if act else [], "owner": only}
        super().__init__(*args, **kwargs)
        self.fields["acts"].choices = list(found.acts.items())  # type: ignore[attr-defined]  # a choice field
        self.fields["acts"].help_text = found.opening
        owners = self.fields["owner"]
        owners.queryset = Owner.objects.filter(pk__in=[one.pk for one in signers])  # type: ignore[attr-defined]  # a model field


class BecauseForm(Form):
    """The reason of one step that has nothing else to it."""

    because = forms.CharField(label="Reason", max_length=200)


class WithdrawForm(BecauseForm):
    """An owner takes a consent back."""

    action = "Take a consent back"
    lead = "It ends today. What was done until now stays done."
    button = "End this consent today"


class DecideContentForm(BecauseForm):
    """What was decided on a weapon or a biohazard."""

    action = "Decide on what lies in the car"
    lead = "Nobody touches it before. Local law says what to do with a weapon or with needles."
    button = "Record the decision"


class EndOwnerForm(Form):
    """A paper no longer names somebody."""

    action = "No longer named"
    lead = "Every consent of theirs ends today too."
    button = "End this name today"


class KeysForm(Form):
    """The tag, the keys under it, and where they are now."""

    action = "Keys"
    lead = "One tag for one car. Each change of hands is kept."
    button = "Record the keys"

    tag = forms.CharField(label="Tag", max_length=10)
    keys = WholeField(label="Keys", unit="keys", most=20)
    wheel_lock_key = yes_or_no("Is the key of the wheel locks here")
    radio_code = yes_or_no("Does the radio ask for a code")
    holder = forms.CharField(
        label="Where they are now", max_length=120, help_text="A hook, a drawer or a person"
    )
    version = VersionField(required=False)

    def __init__(self, *args: Any, tag: KeyTag | None, **kwargs: Any) -> None:
        if tag:
            names = ("tag", "keys", "holder", "version")
            kwargs["initial"] = {name: getattr(tag, name) for name in names} | {
                name: answer_of(getattr(tag, name)) for name in ("wheel_lock_key", "radio_code")
            }
        super().__init__(*args, **kwargs)


class ReturnForm(DayForm):
    """Who took something back, and when."""

    button = "Record the return"

    to = forms.CharField(label="Who took it", max_length=120)
    on = DateField(label="On")


class ReturnKeysForm(ReturnForm):
    """Who took the keys."""

    action = "Return the keys"
    lead = "All keys under the tag, to somebody who may have them."


class ReturnContentForm(ReturnForm):
    """Who took a thing from the car."""

    action = "Return what lay in the car"
    lead = "A child seat is fitted again by the parents, who check it themselves."


class ContentForm(Form):
    """One thing that lies in the car."""

    action = "List what lies in the car"
    lead = "With the owner, before the car is taken in. Essentials go back at once."
    button = "List this"

    kind = one_of(kinds.ContentKind, "Kind")
    what = forms.CharField(label="What it is", max_length=120)
    where = forms.CharField(label="Where it lies", required=False, max_length=60)
    client_key = KeyField()


class TowForm(DayForm):
    """One tow."""

    action = "Record a tow"
    lead = "Who fetches it from where, and who pays."
    button = "Record this tow"

    direction = one_of(kinds.TowDirection, "Direction", initial="in")
    kind = one_of(kinds.TowKind, "Carried by", initial="flatbed")
    hauler = forms.CharField(label="Who tows", max_length=120)
    from_place = forms.CharField(label="From", max_length=120)
    to_place = forms.CharField(label="To", max_length=120)
    on = DateField(label="On")
    payer = one_of(kinds.TowPayer, "Who pays")
    cost_cents = CostField(label="Cost")
    gate_code = forms.CharField(label="Gate code", required=False, max_length=40)
    key_drop = forms.CharField(label="Where the keys are left", required=False, max_length=120)
    client_key = KeyField()

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return cleaned
        order = TowOrder(**{one.name: cleaned.pop(one.name) for one in fields(TowOrder)})
        return cleaned | {"order": order}
