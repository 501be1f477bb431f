"""Choosing the days of a file."""

from __future__ import annotations

from datetime import date

import pytest
import time_machine

from program.reports.forms import YearFileForm
from tests.factories import make_program
from tests.program.reports.books import KEY, books

pytestmark = pytest.mark.django_db


def form(span: str) -> YearFileForm:
    return YearFileForm({"span": span, "key": str(KEY)}, program=make_program())


@time_machine.travel("2026-11-30 15:00:00+00:00", tick=False)
def test_a_year_and_everything_are_offered() -> None:
    books()
    assert form("2026").is_valid()
    whole = form("all")
    assert whole.is_valid()
    assert whole.cleaned_data == {
        "from_on": date(2025, 12, 30),
        "until_on": date(2026, 11, 30),
        "key": KEY,
    }


@time_machine.travel("2026-11-30 15:00:00+00:00", tick=False)
@pytest.mark.parametrize("span", ["", "1999", "'; drop"])
def test_a_year_without_books_is_refused(span: str) -> None:
    books()
    refused = form(span)
    assert not refused.is_valid()
    assert [fault["id"] for fault in refused.faults] == ["id_span"]
