"""What is on record of a sponsor."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from shared.forms import Form, VersionField, WholeField
from vehicles.shop.systems import System

CODE = re.compile(r"[a-z][a-z0-9_]{0,39}")


class SponsorForm(Form):
    """A firm, club or person that gives."""

    name = forms.CharField(label="Name", max_length=120)
    town = forms.CharField(label="Town", max_length=80, required=False)
    contact_name = forms.CharField(
        label="Contact", max_length=120, required=False, help_text="Whom mail is addressed to"
    )
    email = forms.EmailField(
        label="Mail address", required=False, help_text="Without one they are reached by phone"
    )
    phone = forms.CharField(label="Phone", max_length=30, required=False)
    language = forms.ChoiceField(
        label="Language of mail",
        choices=[("en", "English"), ("es", "Español")],
        widget=forms.RadioSelect,
        initial="en",
    )
    gives = forms.CharField(
        label="What they give",
        help_text="Systems, or a system and a part: cooling; battery/battery; tires",
    )
    ask_every_days = WholeField(
        label="Asked at most once in",
        unit="days",
        least=1,
        most=3650,
        required=False,
        help_text="Empty is the program’s rule",
    )

    def clean_gives(self) -> list[str]:
        """Return the codes of what they give, each once."""
        typed = [part.strip() for part in re.split(r"[;,\n]", self.cleaned_data["gives"])]
        return list(dict.fromkeys(_code(part) for part in typed if part))


class SponsorEditForm(SponsorForm):
    """The same, of a sponsor that is on record; refuses what somebody else changed meanwhile."""

    version = VersionField()


def _code(typed: str) -> str:
    """Return `system` or `system/kind` as it is kept."""
    system, slash, kind = (part.strip().lower() for part in typed.partition("/"))
    try:
        known = System.parse(system)
    except ValueError as error:
        raise ValidationError(str(error)) from error
    if slash and not CODE.fullmatch(kind):
        raise ValidationError(f"“{kind}” is not the code of a part, such as brake_pads.")
    return f"{known}/{kind}" if slash else str(known)


def as_typed(sponsor: Any) -> dict[str, Any]:
    """Return what the form shows of a sponsor at first."""
    gives = sorted((row.system, row.part_kind) for row in sponsor.gives.all())
    return {
        "name": sponsor.name,
        "town": sponsor.town,
        "contact_name": sponsor.contact_name,
        "email": sponsor.address.email,
        "phone": sponsor.address.phone,
        "language": sponsor.address.language,
        "gives": "; ".join("/".join(part for part in pair if part) for pair in gives),
        "ask_every_days": sponsor.ask_every_days,
        "version": sponsor.version,
    }
