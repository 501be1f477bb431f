"""The books as they are read: by fund, by day, by what is free."""

from __future__ import annotations

import pytest

from program.ledger.queries import (
    free_cents,
    held,
    pure_fund,
    pure_funds,
    standing_commitments,
    transfers,
)
from program.models import Commitment, Fund
from tests.factories import TODAY, make_case, make_entry, make_fund, make_program

pytestmark = pytest.mark.django_db


def general(cents: int = 10_000) -> Fund:
    fund = make_fund(code="GEN", name="general fund")
    make_entry(("1010", "4010", cents, fund), key="gift:1")
    return fund


def test_free_money_is_cash_less_debts_less_what_is_set_aside() -> None:
    fund = general()
    make_entry(("6010", "2010", 1_500, fund), ("9010", "9020", 2_000, fund))
    make_entry(("1210", "4110", 7_700, fund))
    assert free_cents([fund], held(make_program())) == {"GEN": 6_500}


def test_a_fund_without_transfers_has_nothing() -> None:
    assert free_cents([make_fund(code="NEW")], held(make_program())) == {"NEW": 0}


def test_transfers_are_read_oldest_first_with_their_cause_and_fund() -> None:
    fund = general()
    make_entry(("6010", "1010", 100, fund), key="bill:1", on="2026-01-15")
    rows = transfers(make_program())
    assert [(row.entry, row.on.isoformat(), row.cents, row.fund) for row in rows] == [
        ("bill:1", "2026-01-15", 100, "GEN"),
        ("gift:1", TODAY.isoformat(), 10_000, "GEN"),
    ]


def test_another_programs_money_is_not_counted() -> None:
    general()
    other = make_program(name="Other garage")
    assert transfers(other) == []


def test_a_fund_is_read_with_its_rule() -> None:
    fund = make_fund(
        code="WIN", name="winter collection", restricted=True, rule={"systems": ["tires"]}
    )
    pure = pure_fund(fund)
    assert (pure.code, pure.restricted, pure.rule.systems) == ("WIN", True, frozenset({"tires"}))
    assert pure_funds([fund]) == {"WIN": pure}


def test_commitments_stand_until_they_are_released() -> None:
    fund, case, entry = general(), make_case(), make_entry()
    for item, released in ((1, None), (2, entry)):
        Commitment.objects.create(
            program=make_program(),
            cause="plan:1",
            case=case,
            item_id=item,
            fund=fund,
            cents=100,
            entry=entry,
            released_by=released,
        )
    assert [row.item_id for row in standing_commitments(make_program())] == [1]
