"""Forms of one fluid: what the maker says, a reading, and what was poured in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.core.exceptions import ValidationError

from shared.forms import Form, KeyField
from vehicles.fluids.levels import Engine, Heat, Level, Look
from vehicles.fluids.rows import Refill
from vehicles.fluids.specifications import Kind
from vehicles.fluids.values import (
    MOST,
    MOST_POURED,
    UNITS,
    Demand,
    Noted,
    Poured,
    volume,
)
from vehicles.fluids.wording import SOURCES, kind_of_bottle
from vehicles.inspection.units import UNITS as NAMES

if TYPE_CHECKING:
    from collections.abc import Callable
    from enum import StrEnum
    from fractions import Fraction

    from vehicles.fluids.models import FluidRule
    from vehicles.fluids.rows import Fluid

LONGEST = 15  # characters of one amount; a row keeps 20 with its unit
NO_ANSWER = "Choose one of the answers."
NOT_KNOWN = "unknown"
OPENED = {"no": False, "yes": True, NOT_KNOWN: None}
_READ = ("level", "missing_eighths", "looks", "engine", "heat", "level_ground", "note")


class VolumeField(forms.CharField):
    """An amount of a fluid; cleaned, the text as it was typed."""

    def __init__(self, *, most: Fraction = MOST, **kwargs: Any) -> None:
        self.most = most
        super().__init__(max_length=LONGEST, **kwargs)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {"autocomplete": "off"}

    def clean(self, value: Any) -> str:
        typed: str = super().clean(value)
        if typed:
            try:
                volume(typed, most=self.most)
            except ValueError as error:
                raise ValidationError(str(error)) from error
        return typed


def _radio(label: str, choices: Any, **kwargs: Any) -> Any:
    return forms.TypedChoiceField(
        label=label,
        choices=choices,
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": NO_ANSWER},
        **kwargs,
    )


def _labels(kind: type[StrEnum], *, but: tuple[StrEnum, ...] = ()) -> list[tuple[str, str]]:
    """Return the choices of an enum, each label as it begins a line."""
    labeled: Any = [one for one in kind if one not in but]
    return [(one.value, str(one.label).capitalize()) for one in labeled]


def _or_none(kind: Callable[[str], Any]) -> Callable[[str], Any]:
    return lambda typed: None if typed == NOT_KNOWN else kind(typed)


class DemandForm(Form):
    """What the maker says; asked once a vehicle."""

    specification = forms.CharField(label="Specification", max_length=120, required=False)
    engine = _radio(
        "The engine, while it is read",
        [*_labels(Engine), (NOT_KNOWN, "Not known yet")],
        coerce=_or_none(Engine),
    )
    heat = _radio(
        "How warm it is, while it is read",
        [*_labels(Heat), (NOT_KNOWN, "Not known yet")],
        coerce=_or_none(Heat),
    )
    stick = _radio(
        "What it is read at",
        [("yes", "A stick, or a tank with marks"), ("no", "Neither: at a plug, or by the car")],
        coerce=lambda typed: typed == "yes",
        initial="yes",
    )
    between = VolumeField(
        label="Amount between the marks",
        required=False,
        help_text="With its unit, such as “1 qt” or “0.8 L”; without one, quarts.",
    )
    capacity = VolumeField(label="What it holds in all", required=False)
    source = forms.ChoiceField(
        label="Where that stands",
        choices=[("", "–"), *((one, one) for one in SOURCES)],
        error_messages={"invalid_choice": NO_ANSWER},
    )
    seen_id = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, fluid: Fluid, rule: FluidRule | None, **kwargs: Any) -> None:
        if rule:
            shown = ("specification", "between", "capacity", "source")
            kwargs["initial"] = {name: getattr(rule, name) for name in shown}
            kwargs["initial"] |= {
                "engine": rule.engine or NOT_KNOWN,
                "heat": rule.heat or NOT_KNOWN,
                "stick": "yes" if rule.stick else "no",
                "seen_id": rule.pk,
            }
        super().__init__(*args, auto_id="maker-%s", **kwargs)
        self.fields["specification"].help_text = kind_of_bottle(fluid.compared)
        for name in {"engine", "heat"} - set(fluid.asks):
            del self.fields[name]
        if "engine" not in fluid.asks:  # nothing with a stick is read otherwise
            del self.fields["stick"]
        if fluid.refill is not Refill.STEPS:
            del self.fields["between"]

    def show_again(self, rule: FluidRule | None) -> None:
        """Take over the answer that stands now, so that what was typed can be sent again."""
        self.data = dict(self.data.items()) | {"seen_id": str(rule.pk if rule else "")}

    def demand(self) -> Demand:
        """Return what was typed, as the action takes it."""
        return Demand(**self.cleaned_data)


class ReadForm(Form):
    """One reading: the level first, then how it was read."""

    level = _radio("What it shows", _labels(Level), coerce=Level)
    missing_eighths = forms.TypedChoiceField(
        label="If between the marks: how much of that space is empty",
        choices=[
            ("", "Not estimated: counts as half"),
            *((n, f"{n}/8") for n in range(1, 8)),
        ],
        coerce=int,
        empty_value=None,
        required=False,
    )
    looks = _radio("What it looks like", _labels(Look), coerce=Look)
    engine = _radio("The engine was", [("off", "Off"), ("running", "Running")], coerce=Engine)
    heat = _radio("It was", _labels(Heat, but=(Heat.EITHER,)), coerce=Heat)
    level_ground = _radio(
        "On level ground", [("yes", "Yes"), ("no", "No")], coerce=lambda typed: typed == "yes"
    )
    note = forms.CharField(label="Note", max_length=300, required=False)
    client_key = KeyField()

    def __init__(self, *args: Any, fluid: Fluid, **kwargs: Any) -> None:
        super().__init__(*args, auto_id="read-%s", **kwargs)
        asked = {"level", "looks", "note", "client_key", *fluid.asks}
        if fluid.refill is not Refill.WHOLE:
            asked.add("level_ground")
        if fluid.refill is Refill.STEPS:
            asked.add("missing_eighths")
        for name in set(self.fields) - asked:
            del self.fields[name]

    def noted(self) -> Noted:
        """Return what was read, as the action takes it."""
        cleaned = dict(self.cleaned_data)
        return Noted(look=cleaned.pop("looks"), **cleaned)


class PourForm(Form):
    """What was poured in. A unit that is typed with the amount wins over the chosen one."""

    reading = forms.IntegerField(widget=forms.HiddenInput)
    specification = forms.CharField(label="What the bottle says", max_length=120)
    opened = _radio(
        "The bottle was",
        [("no", "Sealed"), ("yes", "Opened before"), (NOT_KNOWN, "Nobody knows")],
        coerce=OPENED.get,
    )
    typed = VolumeField(label="Amount that went in", most=MOST_POURED)
    unit = forms.ChoiceField(
        label="Unit",
        choices=[(code, NAMES[code].name.capitalize()) for code in UNITS],
        error_messages={"invalid_choice": NO_ANSWER},
    )
    client_key = KeyField()

    def __init__(self, *args: Any, fluid: Fluid, reading: int | None = None, **kwargs: Any) -> None:
        super().__init__(*args, initial={"reading": reading}, auto_id="pour-%s", **kwargs)
        self.fields["specification"].help_text = kind_of_bottle(fluid.compared)
        self.fields["specification"].required = fluid.compared is not Kind.NONE

    def clean(self) -> dict[str, Any]:
        """Look at the amount once more, now in its unit."""
        cleaned: dict[str, Any] = super().clean() or {}
        if {"typed", "unit"} <= cleaned.keys():
            try:
                volume(cleaned["typed"], cleaned["unit"], most=MOST_POURED)
            except ValueError as error:
                self.add_error("typed", str(error))
        return cleaned

    def poured(self) -> Poured:
        """Return what went in, as the action takes it."""
        return Poured(**self.cleaned_data)
