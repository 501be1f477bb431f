"""The shipped operations are whole, and files that are not say what is wrong.

Minutes, prices and the order of work have no published source: practitioner's judgment, from
memory, marked so in the file. What is checked here is that they hang together.
"""

from __future__ import annotations

import csv
import shutil
from collections import Counter
from graphlib import TopologicalSorter
from typing import TYPE_CHECKING

import pytest

from vehicles.inspection.catalogue import FOLDER
from vehicles.inspection.catalogue import load as load_criteria
from vehicles.intake.car import CarFacts
from vehicles.operations.catalogue import load, order_of_work
from vehicles.operations.operation import Applies, Per, corner_of
from vehicles.operations.proposing import Found, propose
from vehicles.repairs.fitment import Car, Fitment, Part, fits
from vehicles.repairs.models import Need, RepairItem
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from pathlib import Path

OPERATIONS = load()
CRITERIA = load_criteria().criteria
SAFETY = {System.BRAKES, System.STEERING, System.FUEL, System.RESTRAINT}
LIFTING = {"lifting-jack", "lifting-stands", "lifting-hoist"}

#: No repair: a paper, a number or a past that no work in the shop can change.
NO_REPAIR = {
    ("load-sensing-valve", "1.1.17 e"): "a data plate is ordered from the maker",
    ("load-sensing-valve", "1.1.17 f"): "a data plate is ordered from the maker",
    ("plates", "0.1 b"): "the state issues plates",
    ("plates", "0.1 c"): "the state issues plates",
    ("vin-match", "0.2 a"): "the state decides about a car without its number",
    ("vin-match", "0.2 b"): "the state decides about a car without its number",
    ("vin-match", "0.2 c"): "the state corrects papers",
    ("vin-match", "CZ 0.3.1.1"): "the state corrects papers",
    ("title-papers", "PP title-branded"): "a brand stays with the car",
    ("title-papers", "PP title-hold"): "whoever holds the lien lifts it",
    ("title-papers", "PP title-missing"): "the state issues titles",
    ("odometer", "CZ 0.3.2"): "a false record can't be made true",
    ("odometer", "7.11 a"): "a false record can't be made true",
    ("flood-traces", "PP flood-line"): "water that stood in a car stays in its wiring",
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the shipped files, to be damaged."""
    return shutil.copytree(FOLDER, tmp_path / "catalogue")


def change(folder: Path, code: str, column: str, value: str, *, name: str = "operations") -> None:
    """Write one cell of a sheet anew."""
    path = folder / f"{name}.csv"
    with path.open(encoding="utf-8", newline="") as sheet:
        rows = list(csv.DictReader(sheet))
    row = next(one for one in rows if code in (one.get("code"), one.get("operation")))
    row[column] = value
    with path.open("w", encoding="utf-8", newline="") as sheet:
        writer = csv.DictWriter(sheet, list(row))
        writer.writeheader()
        writer.writerows(rows)


def refusal(folder: Path) -> str:
    with pytest.raises(ValueError, match=r".") as caught:
        load(folder)
    return str(caught.value)


def test_there_are_operations_for_every_system() -> None:
    counted = Counter(one.system for one in OPERATIONS.values())
    assert set(counted) == set(System)
    assert sum(counted.values()) > 150


def reasons_fitted() -> set[tuple[str, str]]:
    shown = (one for one in CRITERIA.values() if one.fitted_us)
    return {(one.code, reason.key) for one in shown for reason in one.reasons}


def test_every_reason_of_a_car_built_for_the_united_states_is_cleared_or_named() -> None:
    left = {
        (code, key)
        for code, key in reasons_fitted()
        if all(
            propose([Found(id=1, criterion=code, position=at, reason=key)], OPERATIONS, CarFacts())[
                1
            ]
            for at in CRITERIA[code].positions or ("",)
        )
    }
    assert left == set(NO_REPAIR)


def test_each_names_its_own_system_as_a_skill_first() -> None:
    assert [one.code for one in OPERATIONS.values() if one.skills[0] != one.system] == []


def test_safety_work_asks_the_skill_of_every_system_it_clears() -> None:
    """Brakes, steering, fuel and belts only by people signed off for them (program policy)."""
    lacking = [
        (one.code, system)
        for one in OPERATIONS.values()
        for system in {CRITERIA[clears.criterion].system for clears in one.clears} & SAFETY
        if system not in one.skills
    ]
    assert lacking == []


def test_high_voltage_is_for_trained_people_and_carries_its_caution() -> None:
    high = [one for one in OPERATIONS.values() if Applies.HIGH_VOLTAGE in one.applies]
    assert all("high_voltage" in one.skills and "hybrid-hv" in one.cautions for one in high)
    assert len(high) == 3


def test_a_raised_car_and_no_other_carries_a_caution_for_lifting() -> None:
    wrong = [
        one.code
        for one in OPERATIONS.values()
        if one.needs_lift != bool(LIFTING & set(one.cautions))
    ]
    assert wrong == []


@pytest.mark.parametrize(
    ("kinds", "caution"),
    [
        ({"brake_pads", "brake_shoes", "clutch_kit"}, "brake-dust"),
        ({"brake_fluid", "brake_hose", "brake_line", "brake_caliper"}, "brake-hydraulics"),
        ({"coil_spring", "strut"}, "springs-struts"),
        ({"battery", "battery_terminal", "alternator", "starter"}, "battery"),
        ({"fuel_tank", "fuel_line", "fuel_pump", "fuel_filter", "fuel_injector"}, "fuel"),
        ({"seat_belt", "seat_belt_buckle", "pretensioner", "clock_spring"}, "airbag"),
        ({"radiator", "coolant_hose", "thermostat", "water_pump", "heater_core"}, "hot-fluids"),
        ({"oil_filter", "transmission_fluid", "gear_oil", "oil_pan_gasket"}, "used-oil"),
        ({"tire"}, "tires"),
    ],
)
def test_a_part_with_a_hazard_brings_the_caution_for_it(kinds: set[str], caution: str) -> None:
    """Common practice, no source; the cautions name their own authority."""
    lacking = [
        one.code
        for one in OPERATIONS.values()
        if kinds & {part.kind for part in one.parts} and caution not in one.cautions
    ]
    assert lacking == []


def test_work_on_refrigerant_is_done_outside_by_certified_people() -> None:
    """Source: 40 CFR 82.34(a), text seen, as fixtures/catalogue/cautions.csv says."""
    cold = [one for one in OPERATIONS.values() if "ac-refrigerant" in one.cautions]
    assert sorted(one.code for one in cold) == ["ac-compressor", "ac-recharge"]
    assert all("refrigerant" in one.skills and one.sublet_cents > 0 for one in cold)


def test_structural_welding_is_done_outside() -> None:
    """No structural welding by volunteers: program policy, from the caution on hot work."""
    hot = [one for one in OPERATIONS.values() if "welding-cutting" in one.cautions]
    assert sorted(one.code for one in hot) == ["belt-anchor-weld", "floor-weld", "structure-weld"]
    assert all(one.sublet_cents > 0 for one in hot)


def test_titles_fit_a_repair_item_with_the_longest_place() -> None:
    longest = RepairItem._meta.get_field("title").max_length or 0
    titles = [f"{one.title}, front passenger" for one in OPERATIONS.values()]
    assert all(len(title) <= longest and title[0].isupper() for title in titles)


def test_places_are_those_of_some_criterion() -> None:
    known = {corner_of(at) for at in all_positions()}
    assert {at for one in OPERATIONS.values() for at in one.positions} <= known
    assert all(one.positions or one.per is Per.CAR for one in OPERATIONS.values())


def all_positions() -> set[str]:
    return {at for one in CRITERIA.values() for at in one.positions}


def test_each_says_where_its_minutes_come_from() -> None:
    """None was read in a labor guide, and the file says so."""
    marks = {(one.source, one.text_seen) for one in OPERATIONS.values()}
    assert marks == {("practitioner's judgment", False)}
    parts = {(part.source, part.text_seen) for one in OPERATIONS.values() for part in one.parts}
    assert parts == {("guess", False)}


def test_codes_of_parts_fit_a_need_and_stand_for_one_thing_each() -> None:
    parts = [part for one in OPERATIONS.values() for part in one.parts]
    longest = Need._meta.get_field("kind").max_length or 0
    assert all(part.kind.replace("_", "").isalnum() and part.kind.islower() for part in parts)
    assert max(len(part.kind) for part in parts) <= longest


def test_the_fit_of_parts_knows_the_codes_used_here() -> None:
    """A tire, a battery and used friction parts are judged by rules of their own."""
    kinds = {part.kind for one in OPERATIONS.values() for part in one.parts}
    assert {"tire", "battery", "brake_pads", "brake_shoes", "radiator", "seat_belt"} <= kinds
    used = Part(kind="brake_pads", system=System.BRAKES, fitment=Fitment(), used=True)
    reason = fits(used, Car()).reason
    assert str(reason) == "A used brake pad, shoe or lining is not taken."


def test_the_order_of_work_has_no_circle() -> None:
    order = list(TopologicalSorter(order_of_work(OPERATIONS)).static_order())
    assert order.index("tie-rod-outer") < order.index("alignment")
    assert order.index("brake-caliper-front") < order.index("brake-pads-front")
    assert order.index("brake-pads-front") < order.index("brake-fluid")


@pytest.mark.parametrize(
    ("column", "value", "sentence"),
    [
        ("system", "doors", "operations.csv, row {row}: “doors” is not a system."),
        ("minutes_low", "99999", "don’t go from low over likely to high."),
        ("needs_lift", "perhaps", "'perhaps' is missing or not one of the words used there."),
        ("cautions", "dragons", "“dragons” is not a caution of cautions.csv."),
        ("clears", "wings", "“wings” is not a criterion of the catalogue."),
        ("clears", "tire-tread: 9.9 z", "“9.9 z” is not a reason of “Tread depth”."),
        ("first", "fly", "“brake-pads-front” names “fly”, which is not an operation."),
        ("brings", "tire-replace", "brings “tire-replace”, which is not one job a car."),
        ("skills", "juggling", "“juggling” is not a system."),
        ("per", "wheel", "'wheel' is not a valid Per"),
        ("applies", "wings", "'wings' is not a valid Applies"),
        ("sublet_usd", "free", "“free” is not an amount."),
        ("access", "ceiling", "“ceiling” is not one of: wheels, wheels_front, "),
        ("minutes_shared", "0", "What comes off takes minutes: say how many are shared."),
        ("rest_minutes", "-5", "“-5” minutes of rest are not possible: 0 to 1,440."),
        ("outside_days", "long", "“long” days away are not possible: 0 to 60."),
        ("mark", "heard", "'heard' is missing or not one of the words used there."),
    ],
)
def test_a_row_that_is_wrong_is_refused(
    folder: Path, column: str, value: str, sentence: str
) -> None:
    change(folder, "brake-pads-front", column, value)
    row = list(OPERATIONS).index("brake-pads-front") + 2
    assert sentence.format(row=row) in refusal(folder)


@pytest.mark.parametrize(
    ("column", "value", "sentence"),
    [
        ("quantity", "0", "A quantity of 0 is not possible."),
        ("unit", "dozen", "“dozen” is not one of: each, pair, set."),
        ("source", "rumor", "“rumor” is not one of: guess, catalogue."),
        ("price_usd", "900.00", "don’t go from low over likely to high."),
        ("operation", "fly", "operation_parts.csv: no operation has the code “fly”."),
    ],
)
def test_a_part_that_is_wrong_is_refused(
    folder: Path, column: str, value: str, sentence: str
) -> None:
    change(folder, "radiator", column, value, name="operation_parts")
    assert sentence in refusal(folder)


def test_a_circle_is_refused_by_the_names_in_it(folder: Path) -> None:
    change(folder, "steering-box", "first", "alignment")
    assert refusal(folder) == (
        "“Replace steering box” needs itself, by way of “Align the wheels, outside”."
    )


def test_a_longer_circle_is_told_in_the_order_of_needing(folder: Path) -> None:
    change(folder, "steering-box", "first", "steering-play")
    change(folder, "steering-play", "first", "alignment")
    assert refusal(folder) == (
        "“Replace steering box” needs itself, by way of “Find and take up free play of the"
        " steering”, “Align the wheels, outside”."
    )


def test_a_code_that_stands_twice_is_refused(folder: Path) -> None:
    change(folder, "tire-match", "code", "tire-replace")
    assert refusal(folder) == "operations.csv, row 3: “tire-replace” stands there twice."


def test_a_missing_file_is_refused(folder: Path) -> None:
    (folder / "operations.csv").unlink()
    assert refusal(folder).startswith("operations.csv can't be read: ")
