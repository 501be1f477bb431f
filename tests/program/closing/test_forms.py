"""What a person says of lines, months and duties."""

from __future__ import annotations

from datetime import date
from typing import Any

from program.closing.forms import DutyForm, OpenForm, TickForm, UndoForm
from tests.factories import TODAY


def test_a_tick_needs_no_note() -> None:
    form = TickForm({"bank-note": ""}, prefix="bank")
    assert form.is_valid()
    assert form.cleaned_data == {"note": ""}


def test_taking_back_and_opening_need_a_reason() -> None:
    assert UndoForm({}).errors == {"because": ["Why it is taken back: an answer is missing."]}
    assert OpenForm({}).errors == {"reason": ["Why: an answer is missing."]}


def test_a_duty_is_done_or_does_not_apply() -> None:
    typed: dict[str, Any] = {"on": "2026-11-30", "note": "No contractor was paid.", "applies": "no"}
    form = DutyForm(typed, today=TODAY)
    assert form.is_valid()
    assert form.cleaned_data == typed | {"on": date(2026, 11, 30), "applies": False}


def test_a_duty_was_not_done_tomorrow() -> None:
    form = DutyForm({"on": "2026-12-01", "applies": "yes"}, today=TODAY)
    assert form.errors == {"on": ["Tuesday, December 1, 2026, has not come yet."]}
