"""Which days of the books go into a file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from program.reports.queries import first_day, fiscal_years
from shared.forms import Form, KeyField

if TYPE_CHECKING:
    from shared.accounts.models import Program

EVERYTHING = "all"


class YearFileForm(Form):
    """One fiscal year, or everything so far."""

    span = forms.ChoiceField(label="Days")
    key = KeyField()

    def __init__(self, *args: Any, program: Program, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        today = program.today()
        self._spans = {str(year): days for year, days in fiscal_years(program).items()}
        self._spans[EVERYTHING] = (first_day(program), today)
        names = {year: f"Fiscal year {year}" for year in self._spans} | {
            EVERYTHING: "Everything so far"
        }
        span: Any = self.fields["span"]
        span.choices = list(names.items())

    def clean(self) -> dict[str, Any]:
        """Return what the action takes."""
        typed = super().clean() or self.cleaned_data
        if typed.get("span") not in self._spans:
            return typed
        from_on, until_on = self._spans[typed["span"]]
        return {"from_on": from_on, "until_on": until_on, "key": typed.get("key")}
