"""The paper of a claim, drawn from a sheet alone."""

from __future__ import annotations

import datetime as dt
import io
from typing import Any

import pytest
from pypdf import PdfReader

from program.grants.pdf import claim_paper
from program.grants.sheet import ClaimSheet, CostLine


def line(id_: int = 1, cents: int = 12_550, **fields: Any) -> CostLine:
    defaults: dict[str, Any] = {
        "id": id_,
        "entry": 40 + id_,
        "on": dt.date(2026, 10, 9),
        "what": "Front pads, Quayside Auto Parts",
        "case": "26-041",
        "account": "6010 Parts bought",
        "fund": "general fund",
        "cents": cents,
    }
    return CostLine(**defaults | fields)


def sheet(**fields: Any) -> ClaimSheet:
    defaults: dict[str, Any] = {
        "garage": "Osier Street Garage",
        "funder": "Orrin County",
        "grant": "commuter grant",
        "award_number": "OC-117",
        "number": 2,
        "span": "October 2026",
        "ahead": False,
        "costs": (line(),),
        "own_percent": 20,
        "cents": 10_040,
        "award": 50_000,
        "before": 4_000,
        "certified_by": "Jonas Adeyemi",
        "sent_on": dt.date(2026, 11, 3),
        "made_on": dt.date(2026, 11, 3),
    }
    return ClaimSheet(**defaults | fields)


def pages(**fields: Any) -> list[str]:
    reader = PdfReader(io.BytesIO(claim_paper(sheet(**fields))))
    return [" ".join(page.extract_text().split()) for page in reader.pages]


@pytest.mark.parametrize(
    "words",
    [
        "Claim 2 to Orrin County",
        "Commuter grant: costs of October 2026.",
        "Allowed costs 125.50",
        "Own share, 20 percent 25.10",
        "This claim 100.40",
        "Award 500.00",
        "Claimed before 40.00",
        "Left of the award 359.60",
        "Oct 9, 2026 41 Front pads, Quayside Auto Parts 26-041 6010 Parts bought 125.50",
        "Claimed $100.40 of Orrin County",
        "Name Jonas Adeyemi",
        "Date Tuesday, November 3, 2026",
        "Where the funder has a form of its own, its words come first.",
    ],
)
def test_one_page_says_how_the_claim_follows_and_who_certifies_it(words: str) -> None:
    (text,) = pages()
    assert words in text


def test_a_report_is_named_so_from_top_to_bottom() -> None:
    (text,) = pages(ahead=True, own_percent=0, cents=12_550)
    for words in ("Report 2 to Orrin County", "This report 125.50", "Reported before 40.00"):
        assert words in text
    assert "Reported $125.50 of Orrin County" in text
    assert ("Claim 2" in text, "This claim" in text, "Own share" in text) == (False, False, False)


def test_an_award_that_held_too_little_is_told_beside_the_own_share() -> None:
    (text,) = pages(own_percent=20, cents=9_000)
    assert "Own share: 20 percent, and what the award no longer holds 35.50" in text


def test_one_cent_that_the_award_lacked_is_told_too() -> None:
    (text,) = pages(cents=10_039)
    assert "Own share: 20 percent, and what the award no longer holds 25.11" in text


def test_a_part_of_a_cent_that_stays_here_is_only_own_share() -> None:
    (text,) = pages(costs=(line(cents=10_001),), cents=8_000)
    assert "Own share, 20 percent 20.01" in text


def test_a_report_of_nothing_has_no_list_of_costs() -> None:
    (text,) = pages(ahead=True, costs=(), own_percent=0, cents=0)
    assert "Nothing was spent in these days." in text
    assert "Day Entry" not in text


def test_a_draft_has_no_day_of_sending() -> None:
    (text,) = pages(sent_on=None)
    assert "November 3, 2026 Signature" not in text
    assert "Date Signature" in text


def test_a_cost_of_an_earlier_cycle_has_a_star_and_the_star_is_explained() -> None:
    (text,) = pages(costs=(line(), line(2, 500, on=dt.date(2026, 9, 30), earlier=True)))
    assert "Sep 30, 2026* 42" in text
    assert "* Of an earlier cycle, and in no claim before." in text
    assert "Oct 9, 2026 41" in text


def test_a_cost_without_a_case_has_a_dash() -> None:
    (text,) = pages(costs=(line(case=""),))
    assert "Front pads, Quayside Auto Parts – 6010 Parts bought" in text


def test_many_costs_go_on_and_the_last_page_is_signed() -> None:
    found = pages(costs=tuple(line(id_, 100) for id_ in range(1, 121)), cents=9_600)
    assert len(found) > 1
    assert "120 costs" in found[0]
    assert ["Signature" in text for text in found] == [False] * (len(found) - 1) + [True]
    assert "Sum 120.00" in " ".join(found)


def test_the_same_sheet_gives_the_same_bytes() -> None:
    assert claim_paper(sheet()) == claim_paper(sheet())
