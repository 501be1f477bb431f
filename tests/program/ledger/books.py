"""Small books, and what a person types into them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse

from program.ledger.actions import Event, SetAside, set_aside
from shared.accounts.roles import RoleKind
from tests.factories import (
    TODAY,
    make_case,
    make_entry,
    make_fund,
    make_item,
    make_program,
    make_user,
)

if TYPE_CHECKING:
    from program.models import Entry, Fund

MONEY, JOURNAL, NEW = "/money/", "/money/entries/", "/money/entries/new/"


STATEMENTS = "/money/statements/"


TREASURER = RoleKind.TREASURER


KEY = "0b5f8f0e-6d5a-4b0e-9d43-2f5c7f1f6a11"


def books() -> tuple[Fund, Fund]:
    """Return a general fund of $500.00 and a gift of $100.00, with three entries."""
    general = make_fund(code="GEN", name="general fund", purpose="Anything the program does.")
    gift = make_fund(
        code="PRU", name="Pruitt gift", restricted=True, rule={"systems": ["brakes", "tires"]}
    )
    make_entry(("1010", "4010", 60_000, general), what="Sunday collection", key="import:t-1")
    make_entry(("1010", "4010", 10_000, gift), what="Gift of R. Pruitt")
    make_entry(("6010", "1010", 10_000, general), what="Front pads")
    return general, gift


def put_aside(fund: Fund, cents: int) -> Entry:
    row = SetAside(fund=fund, case=make_case(), item_id=make_item().pk, cents=cents)
    event = Event(key="plan:1", on=TODAY, what="Set aside by plan 1")
    entry = set_aside(program=make_program(), event=event, rows=[row], by=make_user())
    assert entry is not None
    return entry


def typed(fund: Fund, **fields: str) -> dict[str, str]:
    """Return what a person typed to book one line of $25.00."""
    return {
        "on": "2026-11-30",
        "what": "Rags and gloves",
        "key": KEY,
        "debit_1": "6050",
        "credit_1": "1010",
        "fund_1": str(fund.pk),
        "amount_1": "25.00",
    } | fields


def page(entry: Entry, name: str = "entry_page") -> str:
    return reverse(f"ledger:{name}", args=[entry.pk])
