from __future__ import annotations

import csv
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.importing.shifting import shift, weeks_from, write_shifted
from shared.dates import plan_week

if TYPE_CHECKING:
    from pathlib import Path

BASE = date(2026, 11, 30)


def test_a_cell_that_is_a_date_is_moved_and_nothing_else() -> None:
    sheet = "ref,number,until,note\nc1,26-041,2026-12-01,seen 2026-11-20\n"
    assert shift(sheet, weeks=-1) == "ref,number,until,note\nc1,26-041,2026-11-24,seen 2026-11-20\n"


def test_quotes_and_newlines_inside_a_cell_stay() -> None:
    sheet = 'ref,note\nc1,"It said ""stop"",\nthen it stopped"\n'
    assert shift(sheet, weeks=3) == sheet


def test_a_cell_that_looks_like_a_date_and_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="day is out of range for month"):
        shift("due\n2026-02-30\n", weeks=1)


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.integers(-500, 500))
def test_shifted_there_and_back_a_sheet_is_the_same(day: date, weeks: int) -> None:
    sheet = f"ref,due\na,{day}\n"
    assert shift(shift(sheet, weeks=weeks), weeks=-weeks) == sheet


@given(st.dates(date(2000, 1, 3), date(2100, 1, 1)))
def test_whatever_the_day_what_has_happened_stays_in_the_past(today: date) -> None:
    monday = plan_week(today)
    moved = shift("read\n2026-11-25\n", weeks=weeks_from(BASE, monday)).split()[1]
    assert date.fromisoformat(moved) == monday - timedelta(days=5)
    assert date.fromisoformat(moved) <= today


def test_every_sheet_of_a_folder_is_written_and_nothing_else(tmp_path: Path) -> None:
    source, target = tmp_path / "source", tmp_path / "deep" / "target"
    source.mkdir()
    (source / "README.md").write_text("2026-11-30")
    (source / "bays.csv").write_text("ref,due\nb1,2026-11-30\n", encoding="utf-8")
    write_shifted(source, target, weeks=1)
    assert [path.name for path in target.iterdir()] == ["bays.csv"]
    with (target / "bays.csv").open(encoding="utf-8", newline="") as file:
        assert list(csv.DictReader(file)) == [{"ref": "b1", "due": "2026-12-07"}]
