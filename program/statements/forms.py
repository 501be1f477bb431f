"""Which days statements are about."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from shared.forms import DateField, Form

if TYPE_CHECKING:
    import datetime as dt

FIRST_YEAR: Final = 1900
LAST_YEAR: Final = 2999


class SpanForm(Form):
    """The days that statements are about."""

    from_on = DateField(label="From")
    until_on = DateField(label="To")

    def clean_from_on(self) -> dt.date:
        return self._within_reason("from_on")

    def clean_until_on(self) -> dt.date:
        return self._within_reason("until_on")

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        first, last = typed.get("from_on"), typed.get("until_on")
        if first and last and last < first:
            self.add_error("until_on", "The last day lies before the first.")
        return typed

    def _within_reason(self, name: str) -> dt.date:
        day: dt.date = self.cleaned_data[name]
        if not FIRST_YEAR <= day.year <= LAST_YEAR:
            self.add_error(name, f"Type a year from {FIRST_YEAR} to {LAST_YEAR}.")
        return day
