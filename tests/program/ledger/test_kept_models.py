"""The rules of what the database keeps, as sentences and as refusals of the database."""

from __future__ import annotations

from typing import Any

import pytest

from program.models import Balance, DayBalance, Turnover
from tests.factories import TODAY, make_fund, make_program
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def test_each_balance_and_turnover_is_kept_once() -> None:
    usual: dict[str, Any] = {"program": make_program(), "fund": make_fund(), "account": "1010"}
    Balance.objects.create(**usual)
    twice = "This fund has a balance of this account already."
    assert_refused(Balance(**usual), "balance_once_a_fund", twice)
    twice = "This fund has a balance of this account and day already."
    DayBalance.objects.create(**usual, on=TODAY)
    assert_refused(DayBalance(**usual, on=TODAY), "day_balance_once_a_day", twice)
    usual["month"] = TODAY.replace(day=1)
    Turnover.objects.create(**usual)
    twice = "This month has a turnover of this account already."
    assert_refused(Turnover(**usual), "turnover_once_a_month", twice)


def test_each_says_of_what_it_is() -> None:
    cell: dict[str, Any] = {"account": "1010", "cents": 90}
    assert str(Balance(**cell)) == "1010: 90"
    assert str(DayBalance(**cell, on=TODAY)) == f"1010 on {TODAY}: 90"
    assert str(Turnover(account="1010", month=TODAY)) == f"1010 in {TODAY:%Y-%m}"
