"""The books as they are read: by fund, by day, by what is free."""

from __future__ import annotations

import pytest

from program.funds.queries import fund_flags, fund_rows, limits_in_words, money_lines
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
    assert fund_rows(other, held(other)) == []


def test_a_fund_is_read_with_its_rule() -> None:
    fund = make_fund(
        code="WIN", name="winter collection", restricted=True, rule={"systems": ["tires"]}
    )
    pure = pure_fund(fund)
    assert (pure.code, pure.restricted, pure.rule.systems) == ("WIN", True, frozenset({"tires"}))
    assert pure_funds([fund]) == {"WIN": pure}


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"rule": {"systems": ["tires", "brakes"]}}, "It pays only for brakes or tires."),
        ({"purpose": "Anything."}, "Anything."),
        ({}, "Anything the program does."),
        ({"restricted": True}, "For a purpose."),
        ({"rule": {"until_on": "2026-12-31"}}, "It ends on Thursday, December 31, 2026."),
        ({"rule": {"from_on": "2026-12-01"}}, "It starts on Tuesday, December 1, 2026."),
    ],
)
def test_what_a_fund_may_pay_for_is_said(fields: dict[str, object], words: str) -> None:
    assert limits_in_words(make_fund(**fields)) == words


def test_a_funds_book_runs_and_shows_the_newest_first() -> None:
    fund = general()
    make_entry(("6010", "1010", 4_000, fund), what="Front pads", on="2026-12-01")
    make_entry(("1210", "4110", 700, fund), what="Hose given", on="2026-12-02")
    lines = money_lines(fund)
    assert [(line.what, line.change, line.free) for line in lines] == [
        ("Hose given", 0, 6_000),
        ("Front pads", -4_000, 6_000),
        ("Gift", 10_000, 10_000),
    ]
    assert lines[0].free == free_cents([fund], held(make_program()))["GEN"]


def test_each_fund_is_listed_with_what_is_set_aside() -> None:
    fund = general()
    make_entry(("9010", "9020", 3_000, fund))
    (row,) = fund_rows(make_program(), held(make_program()))
    assert (row.name, row.there, row.set_aside, row.free) == ("General fund", 10_000, 3_000, 7_000)


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


def test_a_fund_below_zero_is_flagged_and_no_other() -> None:
    fund = general(1_000)
    make_fund(code="NEW")
    make_entry(("6010", "1010", 1_250, fund))
    (flag,) = fund_flags(make_program(), held(make_program()))
    assert str(flag.sentence) == "The general fund is $2.50 below zero."
