"""What the database refuses of lists, duties and year files."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID

import pytest
from django.utils import timezone

from program.models import CloseStep, DutyDone, YearFile
from tests.factories import make_program, make_user
from tests.program.closing.months import OCTOBER
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db
KEY = UUID("0b5f8f0e-6d5a-4b0e-9d43-2f5c7f1f6a11")


def step(**fields: Any) -> CloseStep:
    defaults: dict[str, Any] = {
        "program": make_program(),
        "month": OCTOBER,
        "kind": "bank",
        "by": make_user(),
    }
    return CloseStep(**defaults | fields)


def duty(**fields: Any) -> DutyDone:
    defaults: dict[str, Any] = {
        "program": make_program(),
        "year": 2026,
        "code": "form-990",
        "on": date(2026, 5, 4),
        "by": make_user(),
    }
    return DutyDone(**defaults | fields)


def file(**fields: Any) -> YearFile:
    defaults: dict[str, Any] = {
        "program": make_program(),
        "from_on": date(2026, 1, 1),
        "until_on": date(2026, 12, 31),
        "asked_by": make_user(),
        "client_key": KEY,
    }
    return YearFile(**defaults | fields)


def test_a_line_is_ticked_once_until_it_is_taken_back() -> None:
    first = step()
    first.save()
    assert_refused(step(), "close_step_once", "This line of the list is done already.")
    first.undone_at = timezone.now()
    first.save()
    step().save()
    assert str(step()) == "bank of 2026-10"


def test_a_line_is_one_of_the_list() -> None:
    sentence = "This kind is not known to the program."
    assert_refused(step(kind="tea"), "close_step_known", sentence)


def test_a_duty_is_done_once_a_year() -> None:
    duty().save()
    assert_refused(duty(), "duty_done_once", "This duty is done already.")
    duty(year=2027).save()
    assert str(duty()) == "form-990 2026"


def test_a_duty_is_set_aside_with_a_reason() -> None:
    sentence = "Say why the duty does not apply."
    assert_refused(duty(applies=False), "duty_set_aside_with_reason", sentence)
    duty(applies=False, note="No contractor was paid.").save()


def test_a_year_file_is_asked_for_once() -> None:
    file().save()
    assert_refused(file(), "year_file_asked_once", "This file was asked for already.")
    assert str(file()) == "2026-01-01 to 2026-12-31"
