"""Approving and dropping an appeal."""

from __future__ import annotations

from django import forms

from shared.forms import Form


class ApproveForm(Form):
    """Nothing is typed to approve; a refusal stands on top."""


class DropForm(Form):
    """Why an appeal is not sent."""

    reason = forms.CharField(label="Why it is not sent", max_length=200)
