"""Entries as tests book them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from program.ledger.actions import (
    Event,
    Line,
    SetAside,
    post_entry,
    release,
    set_aside,
)
from program.ledger.queries import free_cents, held, standing_commitments
from tests.factories import TODAY, make_case, make_entry, make_fund, make_program, make_user

if TYPE_CHECKING:
    import pytest
    from django.core.exceptions import ValidationError

    from program.models import Case, Entry, Fund


CASH, GIFTS, PARTS = "1010", "4010", "6010"


def fund_with(cents: int = 0, **fields: Any) -> Fund:
    fund = make_fund(**{"code": "GEN", "name": "general fund"} | fields)
    if cents:
        make_entry((CASH, GIFTS, cents, fund))
    return fund


def spend(fund: Fund, cents: int, key: str = "bill:1", **fields: Any) -> Entry:
    line = Line(debit=PARTS, credit=CASH, cents=cents, fund=fund)
    event = Event(key=key, on=fields.pop("on", TODAY), what="Front pads")
    return post_entry(program=make_program(), event=event, lines=[line], by=None, **fields)


def free(fund: Fund) -> int:
    return free_cents([fund], held(make_program()))[fund.code]


def sentences(refusal: pytest.ExceptionInfo[ValidationError]) -> list[str]:
    return list(refusal.value.messages)


def put_aside(fund: Fund, cents: int, key: str = "plan:1", case: Case | None = None) -> Entry:
    row = SetAside(fund=fund, case=case or make_case(), item_id=7, cents=cents)
    event = Event(key=key, on=TODAY, what="Set aside by plan 1")
    entry = set_aside(program=make_program(), event=event, rows=[row], by=make_user())
    assert entry is not None
    return entry


def free_all(key: str = "plan:1:freed") -> Entry | None:
    event = Event(key=key, on=TODAY, what="Freed for plan 2")
    rows = list(standing_commitments(make_program()))
    return release(program=make_program(), event=event, commitments=rows, by=None)
