from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from program.models import Entry, Fund
from sponsors.models import Pledge, Sponsor, Supply
from tests.program.importing.samples import example, sheet, sheet_import, templates, with_cells

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.django_db


def test_a_sponsor_comes_with_address_and_what_it_gives(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    sponsor = Sponsor.objects.get()
    assert (sponsor.contact_name, sponsor.address.email, sponsor.ask_every_days) == (
        "Ines Halloran",
        "ines@crane-street.example",
        30,
    )
    gives = sponsor.gives.order_by("system").values_list("system", "part_kind")
    assert list(gives) == [("battery", "battery"), ("cooling", "")]


def test_a_sponsor_who_wants_no_mail_gets_none(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("sponsors", opted_out="2026-10-01"))
    address = Sponsor.objects.get().address
    # Noon in New York is 16:00 in UTC while it is on summer time.
    assert address.opted_out_at == dt.datetime(2026, 10, 1, 16, tzinfo=dt.UTC)
    assert address.rule.opted_out


def test_a_pledge_becomes_a_unit_for_each_part(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("pledges", quantity="3", available="2026-12-01"))
    pledge = Pledge.objects.get()
    assert (pledge.state, pledge.quantity, pledge.counties) == ("intended", 3, ["alder county"])
    units = Supply.objects.order_by("number").values_list("number", "state", "available_on")
    assert list(units) == [(n, "pledged", dt.date(2026, 12, 1)) for n in (1, 2, 3)]
    assert Supply.objects.filter(fitment=pledge.fitment).count() == 3


def test_a_part_that_is_here_lies_on_the_shelf(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("pledges", here="yes"))
    assert (Pledge.objects.get().state, Supply.objects.get().state) == ("arrived", "on_shelf")


def test_a_fund_keeps_what_it_may_pay(tmp_path: Path) -> None:
    limits = {"systems": "tires; brakes", "counties": "Alder County", "until": "6/30/2027"}
    sheet_import(tmp_path, with_cells("funds", restricted="yes", **limits))
    assert Fund.objects.get().rule == {
        "systems": ["brakes", "tires"],
        "counties": ["alder county"],
        "until_on": "2027-06-30",
    }


def test_rows_of_one_event_are_one_entry(tmp_path: Path) -> None:
    rows = [
        example("ledger_entries"),
        example("ledger_entries", ref="l2", credit="4020", amount_usd="50.00", case="c1"),
    ]
    sheet_import(tmp_path, templates(ledger_entries=sheet("ledger_entries", rows)))
    entry = Entry.objects.get(key="import:2026-11-14 gift")
    lines = entry.transfers.values_list("debit", "credit", "cents", "case__number")
    assert list(lines) == [("1010", "4010", 15_000, None), ("1010", "4020", 5_000, "26-041")]


def test_an_opening_balance_is_an_entry_of_its_own(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    entry = Entry.objects.get(key="opening:ob1")
    assert (entry.what, entry.on) == ("Opening balance: Checking account", dt.date(2025, 7, 1))
    line = entry.transfers.get()
    assert (line.debit, line.credit, line.cents) == ("1010", "3010", 240_000)


def test_what_a_restricted_fund_spends_is_released_unless_the_sheet_does_it(
    tmp_path: Path,
) -> None:
    bill = {"debit": "6010", "credit": "1010", "what": "Pads", "amount_usd": "40.00"}
    rows = [
        example("ledger_entries"),
        example("ledger_entries", ref="l2", entry="bill 1", **bill),
        example("ledger_entries", ref="l3", entry="bill 2", **bill | {"fact": "yes"}),
        example(
            "ledger_entries", ref="l4", entry="bill 2", **bill | {"debit": "3210", "credit": "3220"}
        ),
    ]
    sheets = with_cells("funds", restricted="yes")
    sheet_import(tmp_path, sheets | {"ledger_entries": sheet("ledger_entries", rows)})
    for key, fact in (("import:bill 1", False), ("import:bill 2", True)):
        entry = Entry.objects.get(key=key)
        assert list(entry.transfers.values_list("debit", "credit", "cents")) == [
            ("6010", "1010", 4_000),
            ("3210", "3220", 4_000),
        ]
        assert entry.fact == fact
