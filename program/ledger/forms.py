"""What a person types into the books."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from program.ledger.actions import Line
from program.ledger.chart import load
from program.ledger.models import Fund
from shared.forms import DateField, Form, KeyField, MoneyField, dress

if TYPE_CHECKING:
    from django.forms.boundfield import BoundField

    from shared.accounts.models import User

LINES = 6
PARTS = ("debit", "credit", "fund", "amount", "memo")
NEEDED = PARTS[:4]
ACCOUNTS = [("", "choose"), *((one.code, f"{one.code} {one.name}") for one in load().values())]


class EntryForm(Form):
    """One event and up to six lines. A line has both sides, so that it can't be out of balance."""

    on = DateField(label="Day")
    what = forms.CharField(
        label="What happened",
        max_length=200,
        help_text="No household's name: the words stay in the books for good.",
    )
    fact = forms.BooleanField(
        label="It has happened anyway",
        required=False,
        help_text="Such as a bounced check: it is booked even where a fund falls below zero.",
    )
    key = KeyField()

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if user.program:
            self.fields["on"].latest = user.program.today()  # type: ignore[attr-defined]  # a day
        funds = Fund.objects.for_user(user)
        for number in range(1, LINES + 1):
            self.fields |= {
                f"debit_{number}": forms.ChoiceField(label="Debit", choices=ACCOUNTS),
                f"credit_{number}": forms.ChoiceField(label="Credit", choices=ACCOUNTS),
                f"fund_{number}": forms.ModelChoiceField(
                    label="Fund", queryset=funds, empty_label="choose"
                ),
                f"amount_{number}": MoneyField(label="Amount", least=1),
                f"memo_{number}": forms.CharField(label="Note", max_length=120),
            }
        for name, field in self.fields.items():
            part, _, line = name.rpartition("_")
            if part in PARTS:
                field.required = line == "1" and part in NEEDED
        dress(self)

    @property
    def event(self) -> list[BoundField]:
        """The fields of the event itself."""
        return [self["on"], self["what"], self["fact"]]

    @property
    def lines(self) -> list[tuple[int, list[BoundField]]]:
        """Each line's number and fields."""
        numbers = range(1, LINES + 1)
        return [(n, [self[f"{part}_{n}"] for part in PARTS]) for n in numbers]

    @property
    def more_are_used(self) -> bool:
        """Whether a line after the first holds something, so that it is shown."""
        return any(field.value() for _, line in self.lines[1:] for field in line)

    def clean(self) -> dict[str, Any]:
        """Return what the action takes; the first line, and one that was begun, has to be whole."""
        typed = super().clean() or self.cleaned_data
        lines = [line for n in range(1, LINES + 1) if (line := self._line(n))]
        kept = {name: typed[name] for name in ("on", "what", "fact", "key") if name in typed}
        return kept | {"lines": lines}

    def _line(self, number: int) -> Line | None:
        typed: dict[str, Any] = {part: self.cleaned_data.get(f"{part}_{number}") for part in PARTS}
        if not any(self.data.get(self.add_prefix(f"{part}_{number}")) for part in PARTS):
            return None
        missing = [part for part in NEEDED if not typed[part]]
        for part in missing:
            if f"{part}_{number}" not in self.errors:
                self.add_error(f"{part}_{number}", f"Line {number} lacks its {part}.")
        if missing:
            return None
        return Line(
            debit=typed["debit"],
            credit=typed["credit"],
            cents=typed["amount"],
            fund=typed["fund"],
            memo=typed["memo"] or "",
        )


class ReverseForm(Form):
    """Why an entry is reversed."""

    reason = forms.CharField(
        label="Why", max_length=200, help_text="It stands in the log beside both entries."
    )
