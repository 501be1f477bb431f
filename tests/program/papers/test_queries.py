"""Which entries lack a paper."""

from __future__ import annotations

from datetime import date

import pytest

from program.ledger.actions import reverse_entry
from program.papers.actions import add_paper
from program.papers.queries import entries_without_paper, without_paper_between
from tests.factories import TODAY, make_entry, make_fund, make_program, make_user
from tests.program.papers.files import PDF

pytestmark = pytest.mark.django_db


def missing() -> list[tuple[str, int]]:
    rows = entries_without_paper(make_program())
    return [(row.what, vars(row)["spent_cents"]) for row in rows]


def test_what_buys_something_needs_a_paper_and_the_rest_does_not() -> None:
    fund = make_fund()
    for what, debit, credit in (
        ("gift", "1010", "4010"),
        ("donated part fitted", "6020", "1210"),
        ("skilled work", "6110", "4130"),
        ("bill paid", "2010", "1010"),
        ("moved to savings", "1020", "1010"),
        ("depreciation", "6130", "1490"),
        ("set aside", "9010", "9020"),
        ("bill for pads", "6010", "2010"),
        ("core deposit", "1230", "1010"),
        ("parts for the shelf", "1220", "2020"),
        ("rent", "6070", "1010"),
    ):
        make_entry((debit, credit, 10_00, fund), what=what)
    assert [what for what, _ in missing()] == [
        "rent",
        "parts for the shelf",
        "core deposit",
        "bill for pads",
    ]


def test_the_amount_is_what_the_entry_spends() -> None:
    fund, other = make_fund(), make_fund()
    make_entry(
        ("6010", "1010", 40_00, fund),
        ("6010", "1010", 2_50, other),
        ("3210", "3220", 40_00, fund),
        what="pads",
    )
    assert missing() == [("pads", 42_50)]


def test_a_paper_ends_the_lack_of_one() -> None:
    entry = make_entry(("6010", "1010", 40_00, make_fund()))
    add_paper(entry=entry, name="Slip", file=PDF, by=make_user())
    assert missing() == []


def test_what_was_reversed_needs_none() -> None:
    entry = make_entry(("6010", "1010", 40_00, make_fund()))
    reverse_entry(entry=entry, on=TODAY, reason="Wrong fund.", by=make_user())
    assert missing() == []


def test_only_days_of_the_span_count() -> None:
    for day in (date(2026, 10, 31), date(2026, 11, 1), date(2026, 11, 30), date(2026, 12, 1)):
        make_entry(("6010", "1010", 40_00, make_fund()), on=day)
    assert without_paper_between(make_program(), date(2026, 11, 1), date(2026, 11, 30)) == 2
