"""Which days statements are about."""

from __future__ import annotations

from typing import Any

from shared.forms import DateField, Form


class SpanForm(Form):
    """The days that statements are about."""

    from_on = DateField(label="From")
    until_on = DateField(label="To")

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        first, last = typed.get("from_on"), typed.get("until_on")
        if first and last and last < first:
            self.add_error("until_on", "The last day lies before the first.")
        return typed
