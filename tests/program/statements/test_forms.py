"""The days that a person asks for."""

from __future__ import annotations

from datetime import date

from program.statements.forms import SpanForm


def test_two_days_in_order_are_a_span() -> None:
    form = SpanForm({"from_on": "2026-01-01", "until_on": "12/31/2026"})
    assert form.is_valid()
    assert form.cleaned_data == {"from_on": date(2026, 1, 1), "until_on": date(2026, 12, 31)}


def test_one_day_alone_is_a_span() -> None:
    assert SpanForm({"from_on": "2026-01-01", "until_on": "2026-01-01"}).is_valid()


def test_the_last_day_may_not_lie_before_the_first() -> None:
    form = SpanForm({"from_on": "2026-02-01", "until_on": "2026-01-31"})
    assert form.errors == {"until_on": ["The last day lies before the first."]}


def test_both_days_are_asked_for() -> None:
    assert SpanForm({"from_on": "2026-01-01"}).errors == {"until_on": ["To: an answer is missing."]}
