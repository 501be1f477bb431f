from __future__ import annotations

import csv
import datetime as dt
import io
from pathlib import Path

import pytest

from program.importing.shifting import shift
from program.models import BudgetLine
from shared.models import Policy
from tests.factories import make_program
from tests.program.importing.samples import example, sheet, sheet_import, templates, with_cells

pytestmark = pytest.mark.django_db

DEMO = Path(__file__).resolve().parents[3] / "fixtures" / "demo" / "budget_lines.csv"
MONDAY = dt.date(2026, 11, 30)  # the base Monday of fixtures/demo/README.md


def test_a_row_becomes_a_line_of_its_year(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("budget_lines", function="program", amount_usd="100.00"))
    line = BudgetLine.objects.get()
    assert (line.year, line.account, line.function, line.cents) == (2026, "6010", "program", 10000)
    assert line.fund is not None
    assert line.fund.code == "GEN"
    assert line.months == [834] * 4 + [833] * 8


def test_twelve_months_stay_as_they_were_typed(tmp_path: Path) -> None:
    cells = {"amount_usd": "", "fund": "", "m02_usd": "30.00", "m12_usd": "1.50"}
    sheet_import(tmp_path, with_cells("budget_lines", **cells))
    line = BudgetLine.objects.get()
    assert (line.fund, line.cents, line.months[1], line.months[11]) == (None, 3150, 3000, 150)


def test_a_day_of_the_fiscal_year_names_it(tmp_path: Path) -> None:
    Policy.objects.create(
        program=make_program(), name="fiscal_year_month", value=7, since_on=dt.date(2020, 1, 1)
    )
    rows = [example("budget_lines", year_of="2026-06-30")]
    rows.append(example("budget_lines", ref="bl2", year_of="2026-07-01"))
    contents = templates(program=None, budget_lines=sheet("budget_lines", rows))
    run = sheet_import(tmp_path, contents, program=make_program())
    assert run.problems == []
    years = BudgetLine.objects.order_by("year").values_list("year", flat=True)
    assert list(years) == [2025, 2026]


def test_the_demonstrations_budget_is_always_of_the_year_of_its_monday() -> None:
    text = DEMO.read_text(encoding="utf-8")
    for weeks in range(0, 300, 7):
        rows = csv.DictReader(io.StringIO(shift(text, weeks=weeks)))
        years = {dt.date.fromisoformat(row["year_of"]).year for row in rows}
        assert years == {(MONDAY + dt.timedelta(weeks=weeks)).year}
