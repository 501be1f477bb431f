"""How papers are listed."""

from __future__ import annotations

import pytest

from program.papers.actions import add_paper
from program.papers.queries import entries_without_paper
from program.papers.tables import PaperTable, WithoutPaperTable
from tests.factories import make_entry, make_fund, make_program, make_user
from tests.program.papers.files import PDF

pytestmark = pytest.mark.django_db


def test_a_spend_leads_to_where_its_paper_is_added_and_is_exported_plain() -> None:
    entry = make_entry(("6010", "1010", 40_00, make_fund()), what="=Front pads")
    table = WithoutPaperTable(entries_without_paper(make_program()))
    assert table.rows[0].get_cell("what") == (
        f'<a href="/money/papers/entries/{entry.pk}/">=Front pads</a>'
    )
    assert table.rows[0].get_cell_value("what") == "=Front pads"
    assert table.rows[0].get_cell("spent_cents") == "40.00"


def test_a_paper_leads_to_its_file_and_shows_the_beginning_of_its_fingerprint() -> None:
    paper = add_paper(entry=make_entry(), name="Slip", file=PDF, by=make_user())
    row = PaperTable([paper]).rows[0]
    assert row.get_cell("name") == f'<a href="/money/papers/{paper.pk}/">Slip</a>'
    assert row.get_cell("sha256") == f'<span title="SHA-256">{paper.sha256[:12]}…</span>'
    assert row.get_cell("size") == "48\xa0bytes"
