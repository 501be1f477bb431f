"""Recording a pledge that came by phone, and ending one for its sponsor."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from shared.choices import choices_of
from shared.forms import DateField, Form, KeyField, WholeField
from sponsors.pledges.actions import MOST_UNITS
from vehicles.repairs.parts import Fitment, Part
from vehicles.repairs.specifications import SPEED_SYMBOLS, Tire
from vehicles.shop.systems import System

CODE = re.compile(r"[a-z][a-z0-9_]{0,39}")
FIRST_YEAR, LAST_YEAR = 1950, 2040  # model years, as in the sheets that are imported
UNITS = [("each", "one piece"), ("pair", "a pair"), ("set", "a set")]
LONGEST_LIST = 5  # counties or kinds of household that one pledge names


class EndForm(Form):
    """Why a pledge ends."""

    reason = forms.CharField(label="What the sponsor said", max_length=200)


class ListField(forms.CharField):
    """Names between semicolons; cleaned, each once."""

    def clean(self, value: Any) -> list[str]:
        """Return the names, in the order typed."""
        typed = [" ".join(one.split()) for one in re.split(r"[;\n]", super().clean(value))]
        names = list(dict.fromkeys(one for one in typed if one))
        if len(names) > LONGEST_LIST:
            raise ValidationError(f"{len(names)} names are too many. Type up to {LONGEST_LIST}.")
        return names


class YearField(WholeField):
    """A model year; a year is written without a comma, also in a refusal."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(unit="", least=FIRST_YEAR, most=LAST_YEAR, required=False, **kwargs)

    def clean(self, value: Any) -> Any:
        """Return the year, or None."""
        try:
            return super().clean(value)
        except ValidationError:
            said = f"“{value}” is not a model year. Type a year from {self.least} to {self.most}."
            raise ValidationError(said) from None


class FitmentForm(Form):
    """What a part is chosen by: cars, or a tire's size, a battery's group, a specification."""

    make = forms.CharField(label="Make", max_length=40, required=False)
    model = forms.CharField(label="Model", max_length=40, required=False)
    year_from = YearField(label="First model year")
    year_to = YearField(label="Last model year")
    engine = forms.CharField(
        label="Engine", max_length=40, required=False, help_text="Empty is any; such as 1.8 L"
    )
    transmission = forms.CharField(
        label="Transmission", max_length=40, required=False, help_text="Empty is any"
    )
    tire_size = forms.CharField(
        label="Tire size", max_length=30, required=False, help_text="Such as 205/55R16"
    )
    load_index = WholeField(label="Load index", unit="", least=50, most=150, required=False)
    speed_symbol = forms.CharField(
        label="Speed symbol", max_length=1, required=False, help_text="Such as H"
    )
    bci_group = forms.CharField(
        label="BCI group", max_length=10, required=False, help_text="Such as 35 or 24F"
    )
    cold_cranking_amps = WholeField(
        label="Cold-cranking amperes", unit="A", least=50, most=2000, required=False
    )
    specification = forms.CharField(
        label="Specification",
        max_length=60,
        required=False,
        help_text="Of a bulb, fluid or filter, such as H11 or DOT 3",
    )

    def clean_tire_size(self) -> str:
        """Return the size as typed, once it can be read."""
        typed = str(self.cleaned_data["tire_size"])
        if typed and not Tire.parse(typed):
            raise ValidationError(f"“{typed}” is not a tire size. Type it such as 205/55R16.")
        return typed

    def clean_speed_symbol(self) -> str:
        """Return the symbol as sidewalls write it."""
        typed = str(self.cleaned_data["speed_symbol"]).upper()
        if typed and typed not in SPEED_SYMBOLS:
            known = ", ".join(SPEED_SYMBOLS)
            raise ValidationError(f"“{typed}” is not a speed symbol. Use one of: {known}.")
        return typed

    def clean(self) -> dict[str, Any]:
        """Refuse years in the wrong order."""
        first, last = (self.cleaned_data.get(name) for name in ("year_from", "year_to"))
        if first and last and first > last:
            said = f"The last model year, {last}, is before the first, {first}."
            self.add_error("year_to", said)
        return self.cleaned_data


class PledgeForm(FitmentForm):
    """What a sponsor promised by phone; cleaned, the arguments of `record_pledge`."""

    # As on the page, so that refusals stand in the order of what they are about.
    field_order = (
        *("client_key", "kind", "title", "system", "quantity", "unit", "position"),
        *("part_number", "used"),
    )
    client_key = KeyField()
    kind = forms.CharField(
        label="Part", max_length=60, help_text="One of the list, such as brake pads"
    )
    title = forms.CharField(
        label="Its name", max_length=120, help_text="Such as Radiator, Corolla 2009–2013"
    )
    system = forms.ChoiceField(
        label="System",
        choices=[("", "Choose"), *choices_of(System)],
        error_messages={"invalid_choice": "“%(value)s” is not a system. Choose one of the list."},
    )
    position = forms.CharField(
        label="Place on the car", max_length=40, required=False, help_text="Such as front left"
    )
    part_number = forms.CharField(label="Part number", max_length=40, required=False)
    used = forms.BooleanField(label="It is used", required=False)
    quantity = WholeField(label="How many", unit="", least=1, most=MOST_UNITS, initial=1)
    unit = forms.ChoiceField(
        label="One of them is", choices=UNITS, widget=forms.RadioSelect, initial="each"
    )
    expires_on = DateField(
        label="Until when",
        required=False,
        help_text="Such as 12/31/2026; empty stands until it is taken back",
    )
    arrived = forms.BooleanField(
        label="It is here already", required=False, help_text="It lies on our shelf"
    )
    counties = ListField(
        label="Only for these counties",
        max_length=200,
        required=False,
        help_text="Semicolons between them; empty is any",
    )
    household_kinds = ListField(
        label="Only for these households",
        max_length=200,
        required=False,
        help_text="Such as veteran; rural. Empty is any",
    )
    note = forms.CharField(label="What the sponsor said", max_length=200, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kind"].widget.attrs |= {"list": "kinds", "autocomplete": "off"}

    def clean_kind(self) -> str:
        """Return the code of what was typed: `Brake pads` is `brake_pads`."""
        typed = str(self.cleaned_data["kind"])
        code = "_".join(typed.lower().replace("-", " ").split())
        if not CODE.fullmatch(code):
            raise ValidationError(f"“{typed}” is not the name of a part, such as brake pads.")
        return code

    def clean_household_kinds(self) -> list[str]:
        """Return the kinds as households have them."""
        return [kind.lower() for kind in self.cleaned_data["household_kinds"]]

    def clean(self) -> dict[str, Any]:
        """Return the part as one value, and what else was typed."""
        cleaned = dict(super().clean())
        if self.errors:
            return cleaned
        stated = {name: cleaned.pop(name) for name in Fitment.__dataclass_fields__}
        part = Part(
            kind=cleaned.pop("kind"),
            system=System(cleaned.pop("system")),
            fitment=Fitment(**stated),
            used=cleaned.pop("used"),
        )
        return cleaned | {"part": part}
