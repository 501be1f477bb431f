"""What is typed as a car arrives and is walked round; photos, and why one is taken away."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any, Final

from django import forms
from django.core.exceptions import ValidationError

from shared.choices import choices_of
from shared.forms import DateField, Form, KeyField, VersionField, WholeField
from vehicles.intake.car import Brake, Fuel
from vehicles.intake.keeping import MOST_AT_ONCE, Subject
from vehicles.intake.kinds import Arrival, PhotoAbout, Transmission
from vehicles.intake.lamps import LAMPS
from vehicles.intake.values import ArrivalAnswers, CarAnswers
from vehicles.intake.walk_round import PARTS, MarkKind
from vehicles.intake.writing import Seen

if TYPE_CHECKING:
    from collections.abc import Callable
    from enum import StrEnum

    from vehicles.intake.decoding import Decoded
    from vehicles.intake.lamps import Lamp
    from vehicles.intake.models import Intake, Vehicle

ANSWERS: Final = {"yes": True, "no": False, "unknown": None}
CAR: Final = tuple(one.name for one in fields(CarAnswers))
TOLD: Final = tuple(one.name for one in fields(ArrivalAnswers))
EIGHTHS: Final = ("Empty", *(f"{eighths}/8" for eighths in range(1, 8)), "Full")
SUGGESTED: Final = ("make", "model", "year", "engine", "body", "fuel")


# ---- a car arrives ----


def _one_of(kinds: type[StrEnum], label: str, *, required: bool = True, **kwargs: Any) -> Any:
    """Return radio buttons for one of an enum; where it may stay open, "nobody knows" is last."""
    open_end = [] if required else [("", "Nobody knows")]
    return forms.ChoiceField(
        label=label,
        choices=[*choices_of(kinds), *open_end],
        required=required,
        widget=forms.RadioSelect,
        **kwargs,
    )


def _yes_no(label: str, open_end: str, **kwargs: Any) -> Any:
    return forms.TypedChoiceField(
        label=label,
        coerce=ANSWERS.get,
        choices=[("yes", "Yes"), ("no", "No"), ("unknown", open_end)],
        empty_value=None,
        required=False,
        widget=forms.RadioSelect,
        **kwargs,
    )


def _answer(value: bool | None) -> str:  # noqa: FBT001  # an answer, not a switch
    return next(name for name, one in ANSWERS.items() if one is value)


class ArrivalForm(Form):
    """The car and what was told as it came; it may be put right as long as the car is here."""

    vin = forms.CharField(label="VIN", required=False, max_length=60, widget=forms.HiddenInput)
    vin_note = forms.CharField(
        label="Why this VIN is right, or why there is none", required=False, max_length=120
    )
    year = forms.TypedChoiceField(
        label="Model year",
        coerce=int,
        choices=[(year, year) for year in range(1950, 2041)],
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        error_messages={"invalid_choice": "A model year lies between 1950 and 2040."},
    )
    make = forms.CharField(label="Make", max_length=40)
    model = forms.CharField(label="Model", max_length=40)
    engine = forms.CharField(label="Engine", required=False, max_length=40)
    body = forms.CharField(label="Body", required=False, max_length=20)
    fuel = _one_of(Fuel, "Runs on", required=False)
    transmission = _one_of(
        Transmission, "Transmission", help_text="Always asked: no table knows this very car."
    )
    front_brakes = _one_of(Brake, "Front brakes", required=False)
    rear_brakes = _one_of(Brake, "Rear brakes", required=False)
    power_brakes = _yes_no("Are the brakes assisted", "Nobody knows")
    tire_size = forms.CharField(
        label="Tire size", required=False, max_length=20, help_text="As it stands on the tire"
    )
    plate = forms.CharField(label="Plate", required=False, max_length=12)
    plate_state = forms.RegexField(
        r"^[A-Za-z]{2}$",
        label="State of the plate, two letters",
        required=False,
        error_messages={"invalid": "Type the two letters of the state, such as OH."},
    )
    complaint = forms.CharField(
        label="What is wrong",
        max_length=2_000,
        help_text="In the household’s own words",
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    comeback = forms.BooleanField(
        label="It is the trouble of last time", required=False, help_text="It goes first in line."
    )
    driver = forms.CharField(label="Who drives it", required=False, max_length=120)
    miles_per_week = WholeField(label="How far in a week", unit="miles", most=5_000)
    sleeps_in = _yes_no("Does somebody sleep in it", "Not asked yet")
    arrived_on = DateField(label="Arrived on")
    arrived_by = _one_of(Arrival, "How it came")
    odometer_mi = WholeField(label="Odometer", unit="miles", most=999_999, required=False)
    odometer_because = forms.CharField(
        label="About the odometer",
        required=False,
        max_length=120,
        help_text="Needed where it can’t be read, or shows less or far more than before.",
    )
    fuel_eighths = forms.TypedChoiceField(
        label="Fuel, or charge",
        coerce=int,
        empty_value=None,
        required=False,
        choices=[
            ("", "Not read"),
            (0, "Empty"),
            *((n, f"{n}/8") for n in range(1, 8)),
            (8, "Full"),
        ],
    )
    lamps = forms.MultipleChoiceField(
        label="Warning lamps that are lit",
        required=False,
        choices=[(one.code, str(one.name)) for one in LAMPS],
        widget=forms.CheckboxSelectMultiple,
        help_text="With the engine running, where it runs.",
    )
    client_key = KeyField()
    version = VersionField(required=False)
    car_version = VersionField(required=False)

    def clean_plate_state(self) -> str:
        return str(self.cleaned_data["plate_state"]).upper()

    @property
    def lit(self) -> list[tuple[Any, Lamp]]:
        """Return the boxes of the lamps, each with what its lamp means."""
        return list(zip(self["lamps"], LAMPS, strict=True))

    def perform(self, action: Callable[..., Any], **others: Any) -> Any:
        """Return what `action` returns; it gets the car and what was told as one value each."""
        data = self.cleaned_data
        car = CarAnswers(**{name: data.pop(name) for name in CAR})
        told = {"comeback": False} | {name: data.pop(name) for name in TOLD if name in data}
        told["lamps"] = tuple(told["lamps"])
        return super().perform(action, car=car, arrival=ArrivalAnswers(**told), **others)


class ReceiveForm(ArrivalForm):
    """A car that comes now: a known one with what is known of it, or a new one."""

    car_version = None  # type: ignore[assignment]  # there is one row that can be stale

    def __init__(
        self, *args: Any, vehicle: Vehicle | None, suggested: Any, first: Any, **kwargs: Any
    ) -> None:
        unasked = {"sleeps_in": "unknown", "power_brakes": "unknown"}
        kwargs["initial"] = unasked | first | (car_initial(vehicle) if vehicle else {})
        super().__init__(*args, **kwargs)
        if suggested:
            self._suggest(suggested)
        if vehicle is None or not vehicle.intakes.exists():
            del self.fields["comeback"]

    def _suggest(self, suggested: Decoded) -> None:
        """Fill what nobody typed, and say at each field that it is a suggestion."""
        for name in SUGGESTED:
            value = getattr(suggested, name)
            if value and not self.initial.get(name):
                self.initial[name] = value
                self.fields[name].help_text = "Suggested from the VIN: compare it with the car."


class ChangeArrivalForm(ArrivalForm):
    """What was recorded as the car came, to be put right."""

    client_key = None  # type: ignore[assignment]  # nothing new is made
    comeback = None  # type: ignore[assignment]  # which stay came before is settled

    def __init__(self, *args: Any, stay: Intake, **kwargs: Any) -> None:
        told = {name: getattr(stay, name) for name in TOLD if name != "comeback"}
        told["sleeps_in"] = _answer(stay.sleeps_in)
        versions = {"version": stay.version, "car_version": stay.vehicle.version}
        kwargs["initial"] = car_initial(stay.vehicle) | told | versions
        super().__init__(*args, **kwargs)
        self.fields["vin"].widget = forms.TextInput(attrs={"class": "in", "autocomplete": "off"})


def car_initial(vehicle: Vehicle) -> dict[str, Any]:
    """Return what a form shows of a known car."""
    known = {name: getattr(vehicle, name) for name in CAR}
    return known | {"power_brakes": _answer(vehicle.power_brakes), "version": vehicle.version}


# ---- walk-round ----


class MarkForm(Form):
    """One thing seen on the walk round the car: touched on the drawing, or chosen from a list."""

    kind = forms.TypedChoiceField(
        label="What is seen",
        coerce=MarkKind,
        choices=choices_of(MarkKind),
        widget=forms.RadioSelect,
    )
    area = forms.TypedChoiceField(
        label="Where",
        coerce=int,
        empty_value=None,
        required=False,
        choices=[("", "Choose a part"), *PARTS],
    )
    note = forms.CharField(
        label="Note", required=False, max_length=120, help_text="How large, how deep"
    )
    x = forms.IntegerField(required=False, widget=forms.HiddenInput)
    y = forms.IntegerField(required=False, widget=forms.HiddenInput)
    client_key = KeyField()

    def perform(self, action: Callable[..., Any], **others: Any) -> Any:
        """Return what `action` returns; it gets what was seen as one value."""
        data = self.cleaned_data
        seen = Seen(**{one.name: data.pop(one.name) for one in fields(Seen)})
        return super().perform(action, seen=seen, **others)


# ---- photos ----


class SeveralPhotosInput(forms.FileInput):
    allow_multiple_selected = True


class SeveralPhotosField(forms.FileField):
    """One or more files; cleaned, a list of them."""

    widget = SeveralPhotosInput

    def clean(self, data: Any, initial: Any = None) -> list[Any]:
        files = data if isinstance(data, list | tuple) else [data]
        if len(files) > MOST_AT_ONCE:
            raise ValidationError(f"{len(files)} files came at once. Send up to {MOST_AT_ONCE}.")
        return [super(SeveralPhotosField, self).clean(file, initial) for file in files or [None]]


class SubjectForm(Form):
    """What the photos show; the page that asks for them fills it in."""

    about = forms.ChoiceField(choices=choices_of(PhotoAbout), widget=forms.HiddenInput)
    key = forms.CharField(max_length=64, required=False, widget=forms.HiddenInput)

    def perform(self, action: Callable[..., Any], **others: Any) -> Any:
        """Return what `action` returns; it gets the subject as one value."""
        data = self.cleaned_data
        subject = Subject(about=data.pop("about"), key=data.pop("key"))
        return super().perform(action, subject=subject, **others)


class PhotosForm(SubjectForm):
    """Photos sent by the browser itself, without script."""

    photos = SeveralPhotosField()


class BeginForm(SubjectForm):
    """A photo that the script is about to send in pieces."""

    client_key = forms.UUIDField()
    size = forms.IntegerField(min_value=1)


class CaptionForm(Form):
    """What there is to see."""

    caption = forms.CharField(max_length=120, required=False)


class VoidForm(Form):
    """Why a photo is deleted; the reason stays."""

    because = forms.CharField(
        label="Reason",
        max_length=120,
        help_text="It stays in the log; name nobody in it.",
    )
