"""Ending a pledge for its sponsor."""

from __future__ import annotations

from django import forms

from shared.forms import Form


class EndForm(Form):
    """Why a pledge ends."""

    reason = forms.CharField(label="What the sponsor said", max_length=200)
