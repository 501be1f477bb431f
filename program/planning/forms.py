"""What a person types about a plan."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from program.planning.hands import HOURS_OF
from program.planning.problem import BAY_DAYS, LIFT_DAYS, MINUTES
from program.planning.states import PinDirection
from program.planning.trying import Change, ChangeKind
from shared.dates import long_date
from shared.forms import Form, KeyField, MoneyField, WholeField

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from program.planning.problem import PartNeed, PlanInput

MOST_HOURS = 10_000
MOST_DAYS = 500
MINUTES_PER_HOUR = 60
NOTHING = ("", "nothing")
NOT_LISTED = "“%(value)s” is not among the choices here. Choose one that is listed."


class PinForm(Form):
    """Keep a case in the next plans, or out of them."""

    direction = forms.ChoiceField(
        label="Keep this car",
        choices=[
            (PinDirection.IN.value, "in the plan"),
            (PinDirection.OUT.value, "out of the plan"),
        ],
        widget=forms.RadioSelect,
    )
    reason = forms.CharField(
        label="Why", max_length=200, help_text="The board reads this beside the plan."
    )


class TryForm(Form):
    """What is to be tried on a plan; one thing or several at once. Nothing of the plan moves."""

    money = MoneyField(label="More money", required=False, least=1)
    fund = forms.ChoiceField(label="In", required=False)
    hours = WholeField(label="More hours", unit="hours", required=False, least=1, most=MOST_HOURS)
    skilled = forms.BooleanField(
        label="of somebody who may do all of the work, brakes and lift included", required=False
    )
    days = WholeField(label="Bay days", unit="days", required=False, least=1, most=MOST_DAYS)
    bay = forms.ChoiceField(
        label="Bay",
        required=False,
        choices=[(BAY_DAYS, "any"), (LIFT_DAYS, "with a lift")],
        error_messages={"invalid_choice": NOT_LISTED},
    )
    week = forms.TypedChoiceField(label="In which week", required=False, coerce=int)
    part = forms.ChoiceField(label="A part that is given", required=False)
    include = forms.ChoiceField(label="A car that has to go home", required=False)
    leave_out = forms.ChoiceField(label="A car that waits", required=False)
    client_key = KeyField()

    def __init__(
        self, *args: Any, facts: PlanInput, planned: Collection[str], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.facts = facts
        waiting = [case for case in facts.cases if case.id not in planned]
        going = [case for case in facts.cases if case.id in planned]
        self._offer(
            "fund", [("", "the fund for anything"), *((f.id, f.label) for f in facts.funds)]
        )
        weeks = [(n, f"the week of {_day(week)}") for n, week in enumerate(facts.weeks)]
        self._offer("week", weeks)
        self._offer("part", [NOTHING, *_parts(facts, waiting)])
        self._offer("include", [NOTHING, *((c.id, f"{c.id} {c.label}") for c in waiting)])
        self._offer("leave_out", [NOTHING, *((c.id, f"{c.id} {c.label}") for c in going)])

    def _offer(self, name: str, choices: Iterable[tuple[Any, str]]) -> None:
        self.fields[name].choices = list(choices)  # type: ignore[attr-defined]  # a ChoiceField
        self.fields[name].error_messages["invalid_choice"] = NOT_LISTED

    def clean(self) -> dict[str, Any]:
        """Return the changes that were typed, and the key of the form."""
        values = super().clean() or {}
        changes = [*_changes(values), *self._hours(values)]
        if not changes and not self.errors:
            self.add_error(None, "Type or choose at least one thing to try.")
        return {"changes": changes, "client_key": values.get("client_key")}

    def _hours(self, values: dict[str, Any]) -> Iterable[Change]:
        """Yield the hours as those of everybody, and of each group whose work takes a skill."""
        minutes = (values.get("hours") or 0) * MINUTES_PER_HOUR
        named = sorted({name for week in self.facts.weeks for name in week.capacity})
        skilled = [name for name in named if name.startswith(HOURS_OF)]
        for name in [MINUTES, *(skilled if values.get("skilled") else [])] if minutes else []:
            week = values.get("week") or 0
            yield Change(kind=ChangeKind.TIME, what=name, amount=minutes, week=week)


def _changes(values: dict[str, Any]) -> Iterable[Change]:
    week = values.get("week") or 0
    if values.get("money"):
        yield Change(kind=ChangeKind.MONEY, what=values.get("fund", ""), amount=values["money"])
    if values.get("days"):
        yield Change(
            kind=ChangeKind.BAY, what=values.get("bay", ""), amount=values["days"], week=week
        )
    for name, kind in (
        ("part", ChangeKind.PART),
        ("include", ChangeKind.IN),
        ("leave_out", ChangeKind.OUT),
    ):
        if values.get(name):
            yield Change(kind=kind, what=values[name], amount=1 if kind == ChangeKind.PART else 0)


def _day(week: Any) -> str:
    return long_date(week.starts_on).partition(", ")[2]


def _parts(facts: PlanInput, waiting: Iterable[Any]) -> list[tuple[str, str]]:
    """Return the parts of the cars that wait, each by its need."""
    names = {case.id for case in waiting}
    rows: list[tuple[str, PartNeed]] = [
        (item.case_id, part) for item in facts.items if item.case_id in names for part in item.parts
    ]
    return [(part.id, f"{part.label} for {case}") for case, part in rows]
