"""What the database keeps after each transfer, whoever wrote it."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from program.ledger.ledger import balances
from program.ledger.queries import held, held_on, transfers
from program.models import Balance, DayBalance, Entry, Fund, Transfer, Turnover
from shared.audit import triggers
from tests.at_once import at_once
from tests.factories import TODAY, make_entry, make_fund, make_program
from tests.program.ledger import making

if TYPE_CHECKING:
    from program.ledger import ledger

DECEMBER, JANUARY = dt.date(2026, 12, 1), dt.date(2027, 1, 1)


def general() -> Fund:
    return make_fund(code="GEN", name="general fund")


def kept_balances() -> list[tuple[str, int]]:
    return list(Balance.objects.order_by("account").values_list("account", "cents"))


def kept_days(account: str, *funds: Fund) -> list[tuple[dt.date, int]]:
    rows = DayBalance.objects.filter(account=account)
    rows = rows.filter(fund__in=funds) if funds else rows
    return list(rows.order_by("fund", "on").values_list("on", "cents"))


def kept_months() -> list[tuple[Any, ...]]:
    fields = ("month", "account", "function", "debits", "credits", "count")
    return list(Turnover.objects.order_by(*fields[:3]).values_list(*fields))


@pytest.mark.django_db
def test_a_transfer_is_added_to_both_of_its_accounts() -> None:
    fund = general()
    make_entry(("1010", "4010", 9_000, fund), ("6010", "1010", 2_500, fund))
    assert kept_balances() == [("1010", 6_500), ("4010", -9_000), ("6010", 2_500)]


@pytest.mark.django_db
def test_a_month_keeps_both_sides_by_the_day_of_the_entry() -> None:
    fund = general()
    make_entry(("1010", "4010", 9_000, fund), on="2026-12-31")
    make_entry(("6010", "1010", 2_500, fund), ("6010", "1010", 500, fund), on="2027-01-01")
    assert kept_months() == [
        (DECEMBER, "1010", "", 9_000, 0, 1),
        (DECEMBER, "4010", "", 0, 9_000, 1),
        (JANUARY, "1010", "", 0, 3_000, 2),
        (JANUARY, "6010", "", 3_000, 0, 2),
    ]


@pytest.mark.django_db
def test_a_transfers_own_function_is_kept_apart() -> None:
    fund, entry = general(), make_entry(on=DECEMBER)
    for function in ("", "management"):
        Transfer.objects.create(
            program=entry.program,
            entry=entry,
            debit="6070",
            credit="1010",
            cents=800,
            fund=fund,
            function=function,
        )
    assert [row for row in kept_months() if row[1] == "6070"] == [
        (DECEMBER, "6070", "", 800, 0, 1),
        (DECEMBER, "6070", "management", 800, 0, 1),
    ]


@pytest.mark.django_db
def test_many_transfers_written_at_once_are_kept_like_single_ones() -> None:
    fund, entry = general(), make_entry(on=DECEMBER)
    row = {"program": entry.program, "entry": entry, "fund": fund}
    Transfer.objects.bulk_create(
        Transfer(debit="1010", credit="4010", cents=cents, **row) for cents in range(1, 101)
    )
    assert kept_balances() == [("1010", 5_050), ("4010", -5_050)]
    assert kept_months()[0] == (DECEMBER, "1010", "", 5_050, 0, 100)
    assert kept_days("1010") == [(DECEMBER, 5_050)]


@pytest.mark.django_db
def test_a_transfer_of_an_earlier_day_changes_every_later_one_of_its_cell() -> None:
    fund, other = general(), make_fund(code="PRU")
    make_entry(("1010", "4010", 100, fund), on=TODAY)
    make_entry(("1010", "4010", 7, other), on=TODAY)
    make_entry(("1010", "4010", 20, fund), on=DECEMBER)
    make_entry(("6010", "1010", 3, fund), on=TODAY - dt.timedelta(days=9))
    assert kept_days("1010", fund) == [
        (TODAY - dt.timedelta(days=9), -3),
        (TODAY, 97),
        (DECEMBER, 117),
    ]
    assert kept_days("1010", other) == [(TODAY, 7)]


@pytest.mark.django_db
def test_days_written_at_once_out_of_order_are_kept_like_single_ones() -> None:
    fund = general()
    make_entry(("1010", "4010", 1_000, fund), on=TODAY)
    days = [TODAY + dt.timedelta(days=number) for number in (5, -5, 0, 5, -8)]
    entries = [make_entry(on=day) for day in days]
    Transfer.objects.bulk_create(
        Transfer(
            program=entry.program, entry=entry, fund=fund, debit="1010", credit="4010", cents=cents
        )
        for entry, cents in zip(entries, (1, 10, 100, 2, 20), strict=True)
    )
    assert kept_days("1010") == [
        (days[4], 20),
        (days[1], 30),
        (TODAY, 1_130),
        (days[0], 1_133),
    ]


@pytest.mark.django_db
def test_funds_and_programs_are_kept_apart() -> None:
    make_entry(("1010", "4010", 100, general()))
    make_entry(("1010", "4010", 20, make_fund(code="PRU")))
    other = make_program(name="Other garage")
    make_entry(("1010", "4010", 3, make_fund(code="GEN", program=other)), program=other)
    assert held(make_program()).cells == {
        ("GEN", "1010"): 100,
        ("GEN", "4010"): -100,
        ("PRU", "1010"): 20,
        ("PRU", "4010"): -20,
    }
    assert held(other).cells == {("GEN", "1010"): 3, ("GEN", "4010"): -3}


@pytest.mark.django_db
def test_what_is_rolled_back_is_not_kept() -> None:
    fund = general()
    with pytest.raises(IntegrityError, match="transfer_between_two_accounts"), transaction.atomic():
        make_entry(("1010", "4010", 9_000, fund), ("1010", "1010", 1, fund))
    assert (kept_balances(), kept_months()) == ([], [])


@pytest.mark.django_db
def test_a_transfer_without_its_entry_is_not_written() -> None:
    fund = general()
    with pytest.raises(IntegrityError, match="month"), transaction.atomic():
        Transfer.objects.create(
            program=make_program(), entry_id=999, debit="1010", credit="4010", cents=1, fund=fund
        )
    assert (Transfer.objects.count(), kept_balances()) == (0, [])


@pytest.mark.django_db
def test_putting_the_triggers_back_keeps_nothing_twice() -> None:
    triggers.put_back()
    make_entry(("1010", "4010", 9_000, general()))
    assert kept_balances() == [("1010", 9_000), ("4010", -9_000)]


@pytest.mark.django_db(transaction=True)
def test_a_flush_forgets_what_was_kept_and_keeping_goes_on() -> None:
    make_entry(("1010", "4010", 9_000, general()))
    triggers.remove(connection)
    call_command("flush", interactive=False, verbosity=0)
    assert (kept_balances(), kept_months()) == ([], [])
    make_entry(("1010", "4010", 100, general()))
    assert kept_balances() == [("1010", 100), ("4010", -100)]


@pytest.mark.django_db(transaction=True)
def test_two_who_write_their_funds_in_opposite_order_wait_for_nobody_for_ever() -> None:
    program, one, two = make_program(), general(), make_fund(code="PRU")

    def write(*order: Fund) -> None:
        for _ in range(10):
            with transaction.atomic():
                for fund in order:
                    make_entry(("1010", "4010", 1, fund), program=program)

    assert at_once(lambda: write(one, two), lambda: write(two, one)) == []
    assert {cell: cents for cell, cents in held(program).cells.items() if cell[1] == "1010"} == {
        ("GEN", "1010"): 20,
        ("PRU", "1010"): 20,
    }


class KeptEqualsTheSumTest(TestCase):
    """A property on the database; each example is rolled back."""

    @settings(max_examples=20)
    @given(st.lists(making.transfers(), max_size=30))
    def test_what_is_kept_equals_the_sum_of_any_transfers(
        self, rows: list[ledger.Transfer]
    ) -> None:
        funds = {code: make_fund(code=code, name=fund.name) for code, fund in making.FUNDS.items()}
        for row in rows:
            make_entry((row.debit, row.credit, row.cents, funds[row.fund]), on=row.on)
        assert held(make_program()) == balances(transfers(make_program())) == balances(rows)
        days = {row.on for row in rows}
        assert {on: held_on(make_program(), on) for on in days} == {
            on: balances(row for row in rows if row.on <= on) for on in days
        }
        months = Turnover.objects.values_list("debits", "credits", "count")
        assert [sum(column) for column in zip(*months, strict=True)] == (
            [sum(row.cents for row in rows)] * 2 + [2 * len(rows)] if rows else []
        )
        assert Entry.objects.filter(on=TODAY).count() == sum(row.on == TODAY for row in rows)
