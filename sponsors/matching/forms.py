"""Taking a match apart."""

from __future__ import annotations

from django import forms

from shared.forms import Form


class FreeForm(Form):
    """Why a unit is kept for its need no more."""

    because = forms.CharField(label="Why it is not to be used for this need", max_length=200)
