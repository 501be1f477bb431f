"""What is asked for a price, for a job that is done, and for a correction."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tests.factories import TODAY
from vehicles.estimates.forms import CorrectionForm, FinishForm, QuoteForm, WithdrawQuoteForm
from vehicles.models import Need
from vehicles.repairs.ages import Worn

TYPED = {
    "supplier": "Quayside Auto Parts",
    "source": "phone",
    "condition": "new",
    "cents": "110.00",
    "quoted_on": TODAY.isoformat(),
}


def quote(typed: dict[str, str], **need: Any) -> QuoteForm:
    about = Need(**{"kind": "radiator", "quantity": 1} | need)
    return QuoteForm(typed, None, today=TODAY, need=about, taken=("new", "used"))


def test_what_is_left_empty_costs_nothing_and_takes_no_day() -> None:
    form = quote(TYPED)
    assert form.is_valid()
    data = form.cleaned_data
    assert (data["core_cents"], data["lead_days"], data["paper"]) == (0, 0, b"")


def test_work_elsewhere_has_neither_condition_nor_deposit() -> None:
    form = QuoteForm(TYPED, None, today=TODAY, need=None)
    assert form.is_valid()
    assert not {"condition", "core_cents", "made"} & set(form.fields)


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


def test_a_used_tire_is_read_by_its_tread_and_its_date_code() -> None:
    form = quote(TYPED | {"tread_32nds": "7", "made": "DOT U2LL LMLR 3523"}, kind="tire")
    assert form.is_valid()
    assert form.cleaned_data["worn"] == Worn(tread_32nds=7, made_on=dt.date(2023, 8, 27))
    assert list(form.fields)[3:6] == ["condition", "tread_32nds", "made"]


def test_a_used_battery_is_read_by_its_day_alone() -> None:
    form = quote(TYPED | {"made": "2025-02-01"}, kind="battery")
    assert form.is_valid()
    assert form.cleaned_data["worn"] == Worn(made_on=dt.date(2025, 2, 1))
    assert "tread_32nds" not in form.fields


@pytest.mark.parametrize(
    ("kind", "typed", "sentence"),
    [
        ("tire", "99", "“99” is not a date code. Type week and year, such as 3521."),
        ("tire", "5226", "“5226” lies ahead: week 52 of 2026."),
        ("battery", "2027-01-01", "Friday, January 1, 2027, has not come yet."),
    ],
)
def test_a_date_that_can_not_be_is_refused(kind: str, typed: str, sentence: str) -> None:
    assert quote(TYPED | {"made": typed}, kind=kind).errors == {"made": [sentence]}


def test_other_parts_are_not_read() -> None:
    assert not {"tread_32nds", "made"} & set(quote(TYPED).fields)
    new_only = QuoteForm({}, None, today=TODAY, need=Need(kind="tire"), taken=("new",))
    assert not {"tread_32nds", "made"} & set(new_only.fields)


@pytest.mark.parametrize(
    ("name", "typed"), [("cents", "-1.00"), ("lead_days", "181"), ("quoted_on", "2027-01-01")]
)
def test_what_a_slip_types_is_refused(name: str, typed: str) -> None:
    assert list(quote(TYPED | {name: typed}).errors) == [name]


def test_half_an_upload_is_refused() -> None:
    empty = {"paper": SimpleUploadedFile("quote.pdf", b"")}
    form = QuoteForm(TYPED, empty, today=TODAY, need=None)
    assert form.errors == {"paper": ["This file is empty. Choose it again."]}


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
