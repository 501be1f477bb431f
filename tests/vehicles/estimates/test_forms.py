"""What is asked for a price, for a job that is done, and for a correction."""

from __future__ import annotations

from typing import Any

import pytest

from tests.factories import TODAY
from vehicles.estimates.forms import CorrectionForm, FinishForm, QuoteForm, WithdrawQuoteForm

TYPED = {
    "supplier": "Quayside Auto Parts",
    "source": "phone",
    "condition": "new",
    "cents": "110.00",
    "quoted_on": TODAY.isoformat(),
}


def quote(typed: dict[str, str], taken: Any = ("new", "used"), **fields: Any) -> QuoteForm:
    return QuoteForm(typed, None, today=TODAY, taken=taken, **fields)


def test_what_is_left_empty_costs_nothing_and_takes_no_day() -> None:
    form = quote(TYPED)
    assert form.is_valid()
    data = form.cleaned_data
    assert (data["core_cents"], data["lead_days"], data["paper"]) == (0, 0, b"")


def test_work_elsewhere_has_neither_condition_nor_deposit() -> None:
    form = quote(TYPED, None)
    assert form.is_valid()
    assert not {"condition", "core_cents"} & set(form.cleaned_data)


def test_only_conditions_that_are_taken_are_offered() -> None:
    form = quote(TYPED | {"condition": "rebuilt"})
    assert [value for value, _ in form.fields["condition"].choices] == [  # type: ignore[attr-defined]
        "new",
        "used",
    ]
    assert list(form.errors) == ["condition"]


def test_the_price_is_that_of_one_piece() -> None:
    helped = [quote({}, quantity=count).fields["cents"].help_text for count in (1, 4)]
    assert helped == ["Without tax.", "Of one; 4 are needed. Without tax."]


@pytest.mark.parametrize(
    ("name", "typed"), [("cents", "-1.00"), ("lead_days", "181"), ("quoted_on", "2027-01-01")]
)
def test_what_a_slip_types_is_refused(name: str, typed: str) -> None:
    assert list(quote(TYPED | {name: typed}).errors) == [name]


def test_minutes_and_cost_may_be_left_out() -> None:
    form = FinishForm({})
    assert form.is_valid()
    assert form.cleaned_data == {"took_minutes": None, "cost_cents": None}


@pytest.mark.parametrize("percent", ["49", "201", ""])
def test_a_correction_stays_between_half_and_double(percent: str) -> None:
    typed = {
        "labor_correction_percent": percent,
        "parts_correction_percent": "100",
        "because": "Board",
    }
    assert list(CorrectionForm(typed).errors) == ["labor_correction_percent"]


def test_a_withdrawal_asks_why() -> None:
    assert list(WithdrawQuoteForm({}).errors) == ["because"]
