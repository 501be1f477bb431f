from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from program.importing.rows import Row
from program.importing.shop_rows import channel
from program.models import Case, Household
from shared.outbox.contact import Channel
from tests.program.importing.samples import example, sheet, sheet_import, templates, with_cells
from vehicles.models import Condition, Consent, Equipment, Intake, Owner, Vehicle

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.django_db


def test_equipment_stands_in_its_bay(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    lift = Equipment.objects.get()
    assert (str(lift.bay), lift.due_on, lift.tagged_out) == ("Bay 1", dt.date(2027, 2, 10), False)


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
