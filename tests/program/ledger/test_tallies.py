"""Each check finds the one thing that was broken for it, and names it."""

from __future__ import annotations

import pytest
from django.db.models import F

from program.ledger.tallies import tallies
from program.models import Balance, Commitment, DayBalance, Entry, Fund, Transfer, Turnover
from tests.factories import TODAY, make_case, make_entry, make_fund, make_program
from tests.program.ledger.booking import free_all, fund_with, put_aside

pytestmark = pytest.mark.django_db

BALANCES, DAYS, MONTHS, SIDES, MOVES, OWN, ASIDE, FREED = range(8)


def wrong() -> dict[int, list[str]]:
    """Return the sentences of each check that fails, by its place."""
    found = enumerate(tallies(make_program()))
    return {place: list(tally.wrong) for place, tally in found if tally.wrong}


def test_books_that_hold_fail_no_check_and_each_says_of_how_many() -> None:
    put_aside(fund_with(9_000), 4_000)
    free_all()
    assert wrong() == {}
    assert [tally.count for tally in tallies(make_program())] == [4, 4, 4, 1, 0, 3, 1, 2]


def test_a_balance_that_is_off_is_named_with_both_figures() -> None:
    fund_with(9_000)
    Balance.objects.filter(account="1010").update(cents=F("cents") + 1)
    assert wrong() == {
        BALANCES: ["GEN, account 1010: $90.01 is kept, the transfers add up to $90.00."],
        SIDES: ["GEN is off by $0.01."],
    }


def test_a_balance_that_is_missing_or_has_no_transfer_is_named() -> None:
    fund = fund_with(9_000)
    Balance.objects.filter(account="4010").delete()
    Balance.objects.create(program=make_program(), fund=fund, account="5010", cents=-9_000)
    assert wrong() == {
        BALANCES: [
            "GEN, account 4010: $0.00 is kept, the transfers add up to −$90.00.",
            "GEN, account 5010: −$90.00 is kept, the transfers add up to $0.00.",
        ]
    }


def test_a_day_that_is_off_missing_or_made_up_is_named() -> None:
    fund = fund_with(9_000)
    assert wrong() == {}
    DayBalance.objects.filter(account="1010").update(cents=F("cents") - 1)
    DayBalance.objects.filter(account="4010").delete()
    DayBalance.objects.create(
        program=make_program(), fund=fund, account="5010", on=TODAY, cents=-9_000
    )
    assert wrong() == {
        DAYS: [
            f"GEN, account 1010, {TODAY}: $89.99 is kept, the transfers add up to $90.00.",
            f"GEN, account 4010, {TODAY}: $0.00 is kept, the transfers add up to −$90.00.",
            f"GEN, account 5010, {TODAY}: −$90.00 is kept, the transfers add up to $0.00.",
        ]
    }


def test_a_month_that_is_off_is_named_with_both_figures() -> None:
    fund_with(9_000)
    Turnover.objects.filter(account="1010").update(count=2)
    (sentence,) = wrong()[MONTHS]
    assert sentence == (
        "2026-11, GEN, account 1010: debits $90.00, credits $0.00 on 2 sides is kept, "
        "the transfers add up to debits $90.00, credits $0.00 on 1 sides."
    )


def test_a_function_that_is_off_is_named() -> None:
    fund_with(9_000)
    Turnover.objects.filter(account="4010").update(function="management")
    assert [sentence[:40] for sentence in wrong()[MONTHS]] == [
        "2026-11, GEN, account 4010: debits $0.00",
        "2026-11, GEN, account 4010, management: ",
    ]


def test_a_move_that_comes_out_of_one_fund_only_is_named_by_its_entry() -> None:
    one, two = make_fund(code="GEN"), make_fund(code="PRU")
    make_entry(("3110", "1010", 500, one), ("1010", "3110", 500, two))
    entry = make_entry(("3110", "1010", 500, one), ("1010", "3110", 400, two))
    assert wrong() == {MOVES: [f"Entry {entry.pk} is off by $1.00."]}


def test_a_transfer_in_another_programs_fund_is_named() -> None:
    make_program()
    other = make_fund(program=make_program(name="Other garage"))
    row = make_entry(("1010", "4010", 100, other)).transfers.get()
    assert wrong() == {OWN: [f"Transfer {row.pk} is not."]}


def test_a_commitment_freed_in_the_ledger_but_not_in_its_row_is_named() -> None:
    entry = put_aside(fund_with(9_000), 4_000)
    freed = make_entry(("9020", "9010", 4_000, Fund.objects.get()))
    assert wrong() == {
        ASIDE: ["GEN: $0.00 is in reserve, the commitments that stand add up to $40.00."],
        FREED: [f"Entry {freed.pk}: −$40.00 went into reserve, its commitments say $0.00."],
    }
    assert entry.commitments.count() == 1


def test_a_commitment_that_is_freed_twice_is_named_by_the_entry_that_no_row_names() -> None:
    put_aside(fund_with(9_000), 4_000)
    free_all()
    again = make_entry(("9020", "9010", 4_000, Fund.objects.get()))
    assert wrong() == {
        ASIDE: ["GEN: −$40.00 is in reserve, the commitments that stand add up to $0.00."],
        FREED: [f"Entry {again.pk}: −$40.00 went into reserve, its commitments say $0.00."],
    }


def test_a_commitment_that_no_entry_set_aside_is_named() -> None:
    fund, case, entry = fund_with(9_000), make_case(), Entry.objects.get
    Commitment.objects.create(
        program=make_program(),
        cause="plan:1",
        case=case,
        item_id=1,
        fund=fund,
        cents=700,
        entry=entry(),
    )
    assert wrong() == {
        ASIDE: ["GEN: $0.00 is in reserve, the commitments that stand add up to $7.00."],
        FREED: [f"Entry {entry().pk}: $0.00 went into reserve, its commitments say $7.00."],
    }


def test_another_programs_books_are_another_check() -> None:
    fund_with(9_000)
    other = make_program(name="Other garage")
    Balance.objects.update(cents=F("cents") + 1)
    assert [tally.count for tally in tallies(other)] == [0] * 8
    assert Transfer.objects.filter(entry__on=TODAY).count() == 1
