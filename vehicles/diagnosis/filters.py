"""What is typed to find a complaint."""

from __future__ import annotations

from django import forms

from shared.forms import Form


class SearchForm(Form):
    """The household's words."""

    words = forms.CharField(
        label="What the household says",
        max_length=300,
        required=False,
        widget=forms.TextInput(attrs={"type": "search"}),
        help_text="In their own words, English or Spanish.",
    )
