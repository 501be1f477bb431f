from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from program.importing.check import check
from program.importing.known import Facts
from program.importing.rows import Row
from program.importing.shop_rows import channel
from program.models import Case, Household
from shared.outbox.contact import Channel
from tests.program.importing.samples import (
    example,
    sheet,
    sheet_import,
    templates,
    told,
    with_cells,
)
from vehicles.models import Condition, Consent, Equipment, Intake, Owner, Space, Vehicle

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.django_db


def test_equipment_stands_in_its_bay(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    lift = Equipment.objects.get()
    assert (str(lift.bay), lift.due_on, lift.tagged_out) == ("Bay 1", dt.date(2027, 2, 10), False)


def test_equipment_of_a_kind_is_inspected_as_often_as_its_kind(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("equipment", kind="Jack", bay=""))
    jack = Equipment.objects.get()
    assert (jack.kind, jack.interval_months, jack.bay) == ("jack", 6, None)


def test_equipment_without_a_kind_is_other(tmp_path: Path) -> None:
    cells = {"kind": "", "tagged_out": "yes", "tagged_out_because": "The lock slips"}
    sheet_import(tmp_path, with_cells("equipment", **cells))
    row = Equipment.objects.get()
    assert (row.kind, row.interval_months) == ("other", 12)
    assert (row.tagged_out, row.tagged_out_because) == (True, "The lock slips")


@pytest.mark.parametrize(
    ("cells", "column", "sentence"),
    [
        (
            {"due": "2026-02-10"},
            "due",
            "The next inspection is due on the day of the last, 2026-02-10.",
        ),
        (
            {"tagged_out_because": "Bent"},
            "tagged_out",
            "tagged_out is empty, though tagged_out_because is filled.",
        ),
        (
            {"kind": "jacks"},
            "kind",
            "“jacks” is not one of the words known here. Likely meant: jack.",
        ),
    ],
)
def test_equipment_that_can_not_be_is_refused(
    cells: dict[str, str], column: str, sentence: str
) -> None:
    found = check(with_cells("equipment", **cells), Facts())
    assert told(found) == [("equipment", 2, column, sentence)]


def test_spaces_come_with_what_may_stand_there(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("spaces", indoors="yes"))
    space = Space.objects.get()
    assert (space.name, space.takes_dead, space.indoors) == ("Space 1", True, True)
    assert space.closed_on is None


def test_a_space_stands_once(tmp_path: Path) -> None:
    first, second = example("spaces"), example("spaces", ref="s2")
    found = check(templates(spaces=sheet("spaces", [first, second])), Facts())
    assert told(found) == [("spaces", 3, "name", "Row 2 has the same name already.")]


def test_a_household_comes_with_its_safe_contact_and_its_points(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("households", threat_on=""))
    household = Household.objects.get()
    assert (household.address.email, household.address.says) == (
        "marisol@teague.example",
        "progress",
    )
    assert household.safe_contact_on == dt.date(2026, 11, 2)
    assert household.kinds == ["rural", "veteran"]
    told = {
        key: household.need_points[key] for key in ("accepted", "children", "work", "no_transit")
    }
    assert told == {"accepted": 1, "children": 2, "work": 3, "no_transit": 2}
    assert household.need_weight == sum(household.need_points.values())


def test_a_day_to_decide_by_follows_from_the_stage(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    assert Household.objects.get().decide_by_on == dt.date(2026, 12, 9)


def test_a_case_comes_with_the_stay_and_the_condition_of_its_car(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    case, stay, condition = Case.objects.get(), Intake.objects.get(), Condition.objects.get()
    assert (case.number, case.vehicle, case.household) == (
        "26-041",
        stay.vehicle,
        Household.objects.get(),
    )
    assert (stay.complaint, stay.odometer_mi, stay.miles_per_week) == (
        "It boils over on the hill.",
        148_210,
        180,
    )
    assert (condition.step, condition.mobility, condition.place) == (
        "awaiting_parts",
        "rolls",
        "Space 4",
    )


def test_an_owner_signs_for_one_stay(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    consent = Consent.objects.get()
    assert (consent.intake, consent.owner, consent.act) == (
        Intake.objects.get(),
        Owner.objects.get(),
        "diagnose",
    )


def test_a_car_without_a_case_is_expected(tmp_path: Path) -> None:
    rows = [example("vehicles"), example("vehicles", ref="v2", vin="")]
    sheet_import(tmp_path, templates(vehicles=sheet("vehicles", rows)))
    assert Vehicle.objects.get(vin="").condition.step == "expected"


def test_an_open_case_says_where_a_car_stands_and_not_an_older_one(tmp_path: Path) -> None:
    old = example(
        "cases",
        ref="c0",
        number="25-001",
        opened="2025-03-01",
        arrived="2025-03-02",
        left="2025-03-20",
        closed="2025-04-20",
        closed_because="Followed up.",
        step="handed_back",
    )
    sheet_import(tmp_path, templates(cases=sheet("cases", [example("cases"), old])))
    assert Condition.objects.get().step == "awaiting_parts"
    assert Intake.objects.count() == 2


def test_a_new_case_of_a_known_car_moves_its_condition(tmp_path: Path) -> None:
    gone = {"step": "handed_back", "left": "2026-11-20"}
    sheet_import(tmp_path, with_cells("cases", closed="2026-11-25", closed_because="Done.", **gone))
    again = example("cases", ref="c2", number="26-050", arrived="2026-11-26", step="assessment")
    sheet_import(tmp_path, {"cases": sheet("cases", [again])})
    condition = Condition.objects.get()
    assert (condition.step, condition.version) == ("assessment", 2)


def test_a_sponsor_is_reached_by_what_is_known() -> None:
    def reached(**values: str) -> Channel:
        return channel(Row(sheet="sponsors", number=2, ref="s1", values=values))

    assert reached(email="a@b.example", phone="555-0101") == Channel.EMAIL
    assert reached(email="", phone="555-0101") == Channel.PHONE
    assert reached(email="", phone="") == Channel.POST
