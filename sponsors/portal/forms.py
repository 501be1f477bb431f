"""A pledge in two taps, and what a sponsor prefers."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shared.forms import DateField, Form, KeyField, WholeField
from sponsors.pledges.actions import MOST_UNITS

if TYPE_CHECKING:
    from sponsors.portal.queries import Wish
    from sponsors.register.models import Sponsor

DAYS_TO_BRING_IT = 14


class PledgeForm(Form):
    """How many, and until when they can be had."""

    client_key = KeyField()
    quantity = WholeField(label=_("How many"), unit="", least=1, most=MOST_UNITS)
    expires_on = DateField(
        label=_("Until when can we count on it"), help_text=_("Such as 2026-12-31 or 12/31/2026")
    )
    note = forms.CharField(label=_("Part number or remark"), required=False, max_length=200)

    def __init__(self, *args: Any, wish: Wish, today: dt.date, **kwargs: Any) -> None:
        initial = {
            "quantity": wish.units,
            "expires_on": today + dt.timedelta(days=DAYS_TO_BRING_IT),
        }
        super().__init__(*args, initial=initial, **kwargs)
        self.fields["quantity"].help_text = _("Needed: {units}").format(units=wish.units)


class ConfirmForm(Form):
    """Nothing is typed to confirm; a refusal stands on top."""


class PreferencesForm(Form):
    """In which language, and how often at most, we write."""

    language = forms.ChoiceField(
        label=_("Language"),
        choices=[("en", "English"), ("es", "Español")],
        widget=forms.RadioSelect,
    )
    ask_every_days = forms.TypedChoiceField(
        label=_("How often we may ask"),
        choices=[
            ("14", _("at most every two weeks")),
            ("30", _("at most once a month")),
            ("91", _("at most four times a year")),
            ("365", _("at most once a year")),
        ],
        coerce=int,
        widget=forms.RadioSelect,
    )


def nearest_pause(sponsor: Sponsor, usual: int) -> int:
    """Return the choice that comes nearest to how often a sponsor is asked now."""
    days = sponsor.ask_every_days or usual
    return min((14, 30, 91, 365), key=lambda choice: (abs(choice - days), choice))
