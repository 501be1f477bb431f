"""The sheet for the wall: one page, with each duty on it."""

from __future__ import annotations

from datetime import date
from io import BytesIO

import pytest
from pypdf import PdfReader

from program.closing.actions import record_duty
from program.closing.duties import load
from program.closing.pdf import LINE, duties_sheet
from program.closing.queries import duty_rows
from tests.factories import TODAY, make_program, make_user
from vehicles.models import Equipment

pytestmark = pytest.mark.django_db


def sheet() -> bytes:
    rows = duty_rows(make_program(), 2026, TODAY)
    return duties_sheet(rows, year=2026, garage="Osier Street Garage", day=TODAY)


def text_of(content: bytes) -> str:
    return " ".join(
        " ".join(page.extract_text() for page in PdfReader(BytesIO(content)).pages).split()
    )


def test_the_year_fits_one_page_with_the_shops_equipment() -> None:
    for number in range(10):
        Equipment.objects.create(
            program=make_program(), name=f"Floor jack {number}", due_on=date(2026, 3, 1 + number)
        )
    content = sheet()
    assert len(PdfReader(BytesIO(content)).pages) == 1
    text = text_of(content)
    titles = [*(duty.title for duty in load()), "Inspect: Floor jack 9"]
    assert [title for title in titles if title not in text] == []
    assert content == sheet()


def test_what_was_said_stands_beside_the_duty_and_a_line_beside_the_rest() -> None:
    user = make_user()
    for code, applies in (("form-990", True), ("contractors", False)):
        record_duty(
            year=2026, code=code, on=date(2026, 5, 4), note="Seen.", applies=applies, by=user
        )
    text = text_of(sheet())
    assert f"File Form 990, 990-EZ or 990-N treasurer May 4, {user}" in text
    law = "Sat Jan 31 Give and file contractor forms (1099-NEC) (by law until Monday, Feb 2)"
    assert f"{law} treasurer does not apply" in text
    assert text.count(LINE) == len(load()) - 2
