"""The samples hold one chart of each kind and more rows than a page."""

from __future__ import annotations

from shared.looks import samples
from shared.tables import ROWS_A_PAGE


def test_there_is_a_second_page() -> None:
    assert len(samples.NEEDS) > ROWS_A_PAGE


def test_each_kind_of_chart_is_shown() -> None:
    charts = samples.pieces()["charts"]
    assert isinstance(charts, dict)
    assert sorted(charts) == ["board", "funds", "hours", "tally"]
