"""What the file of the books says of itself."""

from __future__ import annotations

from datetime import date

import pytest

from program.reports.wording import read_me

COUNTS = {
    "transfers": 1_234,
    "papers": 17,
    "papers_lost": 0,
    "spends": 40,
    "without_paper": 3,
    "seed": 7,
}


def text(**counts: int) -> str:
    return read_me("Osier Street Garage", date(2026, 1, 1), date(2026, 12, 31), COUNTS | counts)


def test_it_names_the_days_and_how_much_there_is() -> None:
    first = text().splitlines()[:2]
    assert first == ["The books of Osier Street Garage", "2026-01-01 to 2026-12-31"]
    assert "1,234 transfers, 17 papers." in text()


@pytest.mark.parametrize(
    ("counts", "sentence"),
    [
        ({}, "3 of 40 spends have no paper: without_paper.csv names them."),
        ({"without_paper": 0}, "A paper lies behind each of the 40 spends."),
        ({}, "Every paper is as it was kept."),
        ({"papers_lost": 2}, "2 papers are gone or changed: papers.csv names them."),
    ],
)
def test_it_says_what_is_missing(counts: dict[str, int], sentence: str) -> None:
    assert sentence in text(**counts).splitlines()
