"""Narrowing the list of needs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from program.purchasing.stages import Stage
from shared.choices import choices_of
from shared.forms import dress
from vehicles.repairs.states import NeedState
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Iterable

    from program.purchasing.queries import NeedRow

ASK, HELD = "ask", "held"
_CLOSED = {Stage.FITTED: NeedState.FILLED, Stage.WITHDRAWN: NeedState.WITHDRAWN}


class NeedFilterForm(forms.Form):
    """What is shown: one stage, one system, the needs of one case or car."""

    stage = forms.ChoiceField(
        label="Stage",
        required=False,
        choices=[
            ("", "all that are open"),
            (ASK, "Somebody has to ask"),
            (HELD, "Held by a gate"),
            *choices_of(Stage),
        ],
    )
    system = forms.ChoiceField(
        label="System", required=False, choices=[("", "all"), *choices_of(System)]
    )
    q = forms.CharField(label="Case, car or part", required=False, max_length=60)


class NeedFilter:
    """What was asked for, and the needs that are that."""

    def __init__(self, data: Any) -> None:
        self.form = NeedFilterForm(data)
        dress(self.form)
        # A choice that is not there is said at its field and narrows nothing.
        self.form.is_valid()
        self.asked: dict[str, str] = self.form.cleaned_data

    @property
    def closed(self) -> NeedState | None:
        """The state of the closed needs that are asked for; None for those that are open."""
        return next((state for one, state in _CLOSED.items() if one == self._stage), None)

    @property
    def _stage(self) -> str:
        return self.asked.get("stage", "")

    def narrowed(self, rows: Iterable[NeedRow]) -> list[NeedRow]:
        """Return the rows that are asked for, in their order."""
        return [row for row in rows if self._shows(row)]

    def _shows(self, row: NeedRow) -> bool:
        system = self.asked.get("system", "")
        if system and row.need.system != system:
            return False
        text = f"{row.case} {row.car} {row.need.title} {row.need.item.title}".casefold()
        if not all(word in text for word in self.asked.get("q", "").casefold().split()):
            return False
        if self._stage == ASK:
            return bool(row.asking.what)
        if self._stage == HELD:
            return row.held is not None
        return self._stage in ("", row.stage)
