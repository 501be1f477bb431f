"""What a person types into the books."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from program.cases.models import Case
from program.ledger.actions import Line, RefusedError
from program.ledger.chart import Function, load
from program.ledger.models import Fund
from shared.choices import choices_of
from shared.forms import DateField, Form, KeyField, MoneyField, dress
from vehicles.repairs.models import RepairItem
from vehicles.repairs.queries import with_work
from vehicles.repairs.states import ItemState

if TYPE_CHECKING:
    from datetime import date

    from django.core.exceptions import ValidationError
    from django.forms.boundfield import BoundField

    from shared.accounts.models import User

LINES = 6
NEEDED = ("debit", "credit", "fund", "amount")
FOR_WHOM = ("case", "item", "function")
PARTS = (*NEEDED, "memo", *FOR_WHOM)
ACCOUNTS = [("", "choose"), *((one.code, f"{one.code} {one.name}") for one in load().values())]
FUNCTIONS = [("", "as its account"), *(one for one in choices_of(Function) if one[0])]


class EntryForm(Form):
    """One event and up to six lines. A line has both sides, so that it can't be out of balance.

    The repair items to choose from are those of the line's case: they show once its number is sent.
    """

    on = DateField(label="Day")
    what = forms.CharField(
        label="What happened",
        max_length=200,
        help_text="No household's name: the words stay in the books for good.",
    )
    fact = forms.BooleanField(
        label="It has happened anyway",
        required=False,
        help_text="Such as a bounced check: it is booked whatever its fund holds or may pay for.",
    )
    key = KeyField()

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if user.program:
            self.fields["on"].latest = user.program.today()  # type: ignore[attr-defined]  # a day
        self.used: dict[int, Line] = {}  # what the lines hold, by their number
        self.cases = self._cases(user)
        self.items = self._items()
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
                f"case_{number}": forms.CharField(
                    label="Case", max_length=10, help_text="Its number, such as 26-041."
                ),
                f"item_{number}": self._item_field(number),
                f"function_{number}": forms.ChoiceField(
                    label="Function", choices=FUNCTIONS, help_text="Of an expense only."
                ),
            }
        for name, field in self.fields.items():
            part, _, line = name.rpartition("_")
            if part in PARTS:
                field.required = line == "1" and part in NEEDED
        dress(self)

    def _typed(self, part: str, number: int) -> str:
        """Return what was sent or given for one field of a line."""
        name = f"{part}_{number}"
        found = self.data.get(self.add_prefix(name)) if self.is_bound else self.initial.get(name)
        return str(found or "").strip()

    def _cases(self, user: User) -> dict[str, Case]:
        """Return the cases that the lines name, by their number; one query."""
        numbers = {self._typed("case", number) for number in range(1, LINES + 1)} - {""}
        if not numbers:
            return {}
        rows = Case.objects.for_user(user).filter(number__in=numbers).select_related("household")
        return {row.number: row for row in rows}

    def _items(self) -> dict[int, list[RepairItem]]:
        """Return the work on the cars of these cases, by vehicle."""
        found: dict[int, list[RepairItem]] = {}
        if self.cases:
            cars = [case.vehicle_id for case in self.cases.values()]
            rows = RepairItem.objects.filter(intake__vehicle__in=cars)
            for row in with_work(rows.exclude(state=ItemState.WITHDRAWN).order_by("title", "pk")):
                found.setdefault(row.intake.vehicle_id, []).append(row)
        return found

    def _of_case(self, number: int) -> dict[str, RepairItem]:
        """Return the items that a line may name, by their key."""
        case = self.cases.get(self._typed("case", number))
        rows = self.items.get(case.vehicle_id, []) if case and case.vehicle_id else []
        return {str(row.pk): row for row in rows}

    def _item_field(self, number: int) -> forms.Field:
        """Return the choice of a case's items; hidden while the case isn't known."""
        items = self._of_case(number)
        if not items:
            return forms.CharField(label="Repair", widget=forms.HiddenInput)
        choices = [("", "none"), *((pk, row.title) for pk, row in items.items())]
        return forms.ChoiceField(label="Repair", choices=choices)

    @property
    def event(self) -> list[BoundField]:
        """The fields of the event itself."""
        return [self["on"], self["what"], self["fact"]]

    @property
    def lines(self) -> list[dict[str, Any]]:
        """Each line: its number, its fields, and those that say for whom it is."""
        found = []
        for number in range(1, LINES + 1):
            for_whom = [self[f"{part}_{number}"] for part in FOR_WHOM]
            found.append(
                {
                    "number": number,
                    "fields": [self[f"{part}_{number}"] for part in (*NEEDED, "memo")],
                    "for_whom": [field for field in for_whom if not field.is_hidden],
                    "open": any(field.value() or field.errors for field in for_whom),
                }
            )
        return found

    @property
    def more_are_used(self) -> bool:
        """Whether a line after the first holds something, so that it is shown."""
        return any(self._typed(part, number) for number in range(2, LINES + 1) for part in PARTS)

    def clean(self) -> dict[str, Any]:
        """Return what the action takes; the first line, and one that was begun, has to be whole."""
        typed = super().clean() or self.cleaned_data
        lines = [line for n in range(1, LINES + 1) if (line := self._line(n))]
        kept = {name: typed[name] for name in ("on", "what", "fact", "key") if name in typed}
        return kept | {"lines": lines}

    def _line(self, number: int) -> Line | None:
        typed: dict[str, Any] = {part: self.cleaned_data.get(f"{part}_{number}") for part in PARTS}
        if not any(self._typed(part, number) for part in PARTS):
            return None
        missing = [part for part in NEEDED if not typed[part]]
        for part in missing:
            if f"{part}_{number}" not in self.errors:
                self.add_error(f"{part}_{number}", f"Line {number} lacks its {part}.")
        named = self._typed("case", number)
        if named and named not in self.cases:
            self.add_error(f"case_{number}", f"There is no case {named}.")
        if missing:
            return None
        self.used[number] = Line(
            debit=typed["debit"],
            credit=typed["credit"],
            cents=typed["amount"],
            fund=typed["fund"],
            case=self.cases.get(named),
            item=self._of_case(number).get(typed["item"] or ""),
            function=typed["function"] or "",
            memo=typed["memo"] or "",
        )
        return self.used[number]

    def refuse(self, refusal: ValidationError) -> None:
        """Put what the books refuse beside the field of the line that it is about."""
        if not isinstance(refusal, RefusedError):
            super().refuse(refusal)
            return
        for problem in refusal.problems:
            self.add_error(self._field(problem.where), str(problem.sentence))

    def _field(self, where: str) -> str | None:
        """Return the field of `2`, `2.item`, `on` or a fund's code; None for the whole."""
        number, _, part = where.partition(".")
        if number.isdigit():
            return f"{part or 'debit'}_{list(self.used)[int(number) - 1]}"
        for used, line in self.used.items():
            if line.fund.code == where:
                return f"amount_{used}"
        return where if where in self.fields else None


class ReverseForm(Form):
    """On what day an entry is reversed, and why."""

    on = DateField(
        label="Day",
        help_text="A slip: the entry’s own day, so that its month shows neither. Money that came "
        "back: the day it did.",
    )
    reason = forms.CharField(
        label="Why", max_length=200, help_text="It stands in the log beside both entries."
    )

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on"].latest = today  # type: ignore[attr-defined]  # a day


class DeclineForm(Form):
    """Why a spend that waits for a second person is declined."""

    reason = forms.CharField(label="Why not", max_length=200)


class TakeBackForm(Form):
    """Why the one who asked for a spend takes it back; it need not be said."""

    reason = forms.CharField(label="Why", max_length=200, required=False)


class AgreeForm(Form):
    """A second person's yes: there is nothing to type."""
