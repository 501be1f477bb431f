from __future__ import annotations

import pytest

from program.cases.models import Case
from program.desk.filters import CaseFilter
from tests.factories import TODAY, make_case, make_household, make_vehicle

pytestmark = pytest.mark.django_db


def found(**asked: str) -> list[str]:
    rows = CaseFilter(asked, queryset=Case.objects.order_by("number")).qs
    return [case.number for case in rows]


def test_open_cases_are_listed_unless_others_are_asked_for() -> None:
    make_case(number="26-001")
    make_case(number="26-002", closed_on=TODAY)
    assert found() == ["26-001"]
    assert found(which="closed") == ["26-002"]
    assert found(which="all") == ["26-001", "26-002"]


def test_a_stage_narrows() -> None:
    make_case(number="26-001", household=make_household(stage="deciding"))
    make_case(number="26-002")
    assert found(stage="deciding") == ["26-001"]


@pytest.mark.parametrize("text", ["26-001", "hask", "bwk 22", "A7ET3BB1", "A7ET 3BB1"])
def test_number_name_plate_and_part_of_a_vin_are_looked_for(text: str) -> None:
    vehicle = make_vehicle(plate="BWK 2207", vin="0BHXA7ET3BB107608")
    make_case(number="26-001", household=make_household(name="Dana Haskell"), vehicle=vehicle)
    make_case(number="26-002", household=make_household(name="Pilar Quist"))
    assert found(q=text) == ["26-001"]
