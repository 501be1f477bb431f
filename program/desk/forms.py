"""What is typed on the page of a case."""

from __future__ import annotations

from django import forms

from shared.forms import Form


class TakeBackForm(Form):
    """Why the private link is taken back."""

    reason = forms.CharField(
        label="Why",
        max_length=200,
        help_text="Such as: somebody else has the link. No names: it stays in the log.",
    )
