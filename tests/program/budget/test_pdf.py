from __future__ import annotations

import datetime as dt
import io
import re

import pytest
from pypdf import PdfReader

from program.budget.pdf import budget_paper
from program.budget.queries import shown
from tests.factories import TODAY, make_entry, make_fund, make_program
from tests.program.budget.lines import make_line

pytestmark = pytest.mark.django_db


def pages(year: int = 2026, **asked: str) -> list[str]:
    found = shown(make_program(), year, **asked)
    content = budget_paper(found, garage="Osier Street Garage", day=TODAY)
    assert content == budget_paper(found, garage="Osier Street Garage", day=TODAY)
    return [
        re.sub(r"\s+", " ", page.extract_text()) for page in PdfReader(io.BytesIO(content)).pages
    ]


def test_the_paper_holds_lines_sums_and_that_they_tie() -> None:
    fund = make_fund(name="tool fund")
    make_line(120_00, fund=fund)
    make_entry(("6010", "1010", 150_00, fund), ("6050", "1010", 7_00, fund), on=dt.date(2026, 2, 1))
    text = " ".join(pages())
    assert "Budget and actual, 2026" in text
    assert "6010 Parts bought, Tool fund 120.00 110.00 150.00 −40.00" in text
    assert "6050 Fluids and shop supplies, Tool fund, no budget line 0.00" in text
    assert "activities of the year in the ledger, −$157.00, to the cent." in text


def test_a_narrowed_paper_says_to_what() -> None:
    make_line(120_00, fund=make_fund(name="tool fund", code="TOOL"))
    assert "Tool fund" in pages(fund="TOOL")[0]


def test_a_year_without_anything_is_one_page() -> None:
    (text,) = pages(2027)
    assert "No line of a budget, and nothing booked." in text


def test_30_lines_take_two_pages() -> None:
    for code in ("6010", "6020", "6030", "6040", "6050", "6060", "6070", "6080", "6090", "6100"):
        for name in ("general fund", "tool fund", "winter collection"):
            make_line(120_00, account=code, fund=make_fund(name=name))
    assert len(pages()) == 2
