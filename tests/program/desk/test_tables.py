from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from program.cases.models import Case
from program.desk.tables import CaseTable, FindingTable, ItemTable
from program.status.queries import with_parts
from tests.factories import (
    TODAY,
    make_case,
    make_finding,
    make_household,
    make_intake,
    make_item,
    make_program,
    make_vehicle,
)

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

pytestmark = pytest.mark.django_db


def cells(table: CaseTable | FindingTable | ItemTable) -> list[list[str]]:
    return [["" if cell is None else str(cell) for cell in row] for row in table.as_values()][1:]


def test_a_case_is_listed_with_its_one_next_step() -> None:
    home = make_household(name="Teresa Maddox", stage="applied", need_weight=6)
    make_case(number="26-053", household=home, vehicle=make_vehicle(step="expected"))
    row = cells(CaseTable(with_parts(Case.objects.all())))[0]
    since = home.stage_since_on.isoformat()
    assert row == [
        *("26-053", "Teresa Maddox", "2012 Toyota Corolla", "Applied", "6", since, ""),
        "Read the application and decide on it.",
    ]


def test_a_car_without_household_asks_for_one_and_a_closed_case_for_nothing() -> None:
    program = make_program()
    Case.objects.create(program=program, number="26-900", opened_on=TODAY, vehicle=make_vehicle())
    make_case(number="26-901", closed_on=TODAY)
    table = CaseTable(with_parts(Case.objects.order_by("number")))
    assert [row[-1] for row in cells(table)] == ["Find a household for this car.", ""]
    shown = [row.get_cell("step") for row in table.rows]
    assert shown == ["Find a household for this car.", "Closed."]


def test_the_steps_of_a_list_are_asked_for_once(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    for _ in range(3):
        make_case()
    with django_assert_num_queries(5):
        for row in CaseTable(with_parts(Case.objects.all())).rows:
            assert row.get_cell("step")


def test_a_finding_says_its_class_and_source_and_whether_the_text_was_seen() -> None:
    seen, memory = make_finding(text_seen=True), make_finding()
    table = FindingTable([seen, memory])
    first, second = (str(row.get_cell("sentence")) for row in table.rows)
    assert "49 CFR 570.9(a) (text seen)" in first
    assert "49 CFR 570.9(a) (from memory, text not seen)" in second
    assert "dangerous" in str(table.rows[0].get_cell("deficiency"))
    by_eye = FindingTable([make_finding(source="")])
    assert "judged by the technician" in str(by_eye.rows[0].get_cell("sentence"))


def test_items_show_hours_and_index_and_sum_their_cash() -> None:
    stay = make_intake()
    rows = [make_item(intake=stay, net_cost_cents=cents) for cents in (4_500, 12_000)]
    rows[0].index_tenths = 1905
    table = ItemTable(rows)
    assert table.rows[0].get_cell("labor_likely_minutes") == "1:00"
    assert table.rows[0].get_cell("index") == "190.5"
    assert table.columns["net_cost_cents"].footer == "165.00"
