"""The catalogue's classes beside what inspectors of two countries found.

The files are read from the folder that HANDBACK_REFERENCE names. Laws, ages of cars and coding
differ between countries, so each stands alone, and no figure here was used to set a class: the
rank correlations are recorded in the report of the run, and of them only the sign is asserted.

Sources: DVSA table MOT-03, initial failures by defect category, cars, July to September 2019
(transcribed from the published preview); Traficom, periodic inspections of cars 2022, by way of
the public repository dmoul/finnish-vehicle-insights.
"""

from __future__ import annotations

import csv
import os
from collections import Counter
from fractions import Fraction
from math import sqrt
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

DANGEROUS, NONE = DeficiencyClass.DANGEROUS, DeficiencyClass.NONE
FAILING = {DANGEROUS, DeficiencyClass.MAJOR}
#: The categories of the British test as our systems. Identification has none.
BRITISH = {
    "Body, chassis, structure": {System.BODY},
    "Brakes": {System.BRAKES},
    "Lamps, reflectors and electrical equipment": {System.LIGHTS, System.ELECTRICAL},
    "Noise, emissions and leaks": {System.EXHAUST, System.EMISSIONS, System.FLUIDS},
    "Road wheels": {System.WHEELS},
    "Seat belts and supplementary restraint systems": {System.RESTRAINT},
    "Steering": {System.STEERING},
    "Suspension": {System.SUSPENSION},
    "Tyres": {System.TIRES},
    "Visibility": {System.GLASS},
}
#: The main reasons of a Finnish failure as our systems. Papers, plates and taxis have none.
FINNISH = {
    "Springs and damping": System.SUSPENSION,
    "Front axle and suspension joints": System.SUSPENSION,
    "Rear axle": System.SUSPENSION,
    "Service brake": System.BRAKES,
    "Service brake roller test": System.BRAKES,
    "Parking brake roller test": System.BRAKES,
    "Stability control system": System.BRAKES,
    "Steering joints and rods": System.STEERING,
    "OBD (on-board diagnostic system)": System.EMISSIONS,
    "Petrol engine exhaust measurement": System.EMISSIONS,
    "Diesel engine exhaust measurement": System.EMISSIONS,
    "Tyres and rims": System.TIRES,
    "Chassis housing and underframe": System.BODY,
    "Bodywork": System.BODY,
    "Frame": System.BODY,
    "Seat belts and safety equipment": System.RESTRAINT,
    "Headlamp (dipped/main)": System.LIGHTS,
}
NO_SYSTEM = {"Vehicle documents", "Manufacturers plate", "Taxi equipment", "Registration markings"}


def table(name: str) -> list[dict[str, str]]:
    """Return the rows of a file of open data, or skip the test."""
    folder = os.environ.get("HANDBACK_REFERENCE")
    if not folder:
        pytest.skip("HANDBACK_REFERENCE names no folder with the open data.")
    path = Path(folder, "open_data", name)
    if not path.exists():
        pytest.skip(f"The reference folder has no open_data/{name}.")
    with path.open(encoding="utf-8", newline="") as sheet:
        return list(csv.DictReader(sheet))


def ranks(numbers: Sequence[Fraction]) -> list[Fraction]:
    """Return the rank of each number, equal ones sharing the mean of their places."""
    return [
        Fraction(sum(other < one for other in numbers))
        + Fraction(sum(other == one for other in numbers) + 1, 2)
        for one in numbers
    ]


def spearman(one: Sequence[Fraction], other: Sequence[Fraction]) -> float:
    """Return the rank correlation: Pearson's of the ranks, so that ties are right as well."""
    left, right = ranks(one), ranks(other)
    mean = Fraction(len(left) + 1, 2)
    cross = sum((a - mean) * (b - mean) for a, b in zip(left, right, strict=True))
    spread = [sum((rank - mean) ** 2 for rank in row) for row in (left, right)]
    return float(cross) / sqrt(spread[0] * spread[1])


def share_of_dangerous(systems: set[System]) -> Fraction:
    """Return how many of the catalogue's failing reasons in these systems are dangerous."""
    found = [
        reason.deficiency
        for one in load().criteria.values()
        if one.system in systems
        for reason in one.reasons
        if reason.deficiency in FAILING
    ]
    return Fraction(found.count(DANGEROUS), len(found))


def british(column: str) -> dict[str, Fraction]:
    rows = table("gb_mot_class34_2019_20_q2.csv")
    return {
        row["defect_category"]: Fraction(row[column])
        for row in rows
        if row["defect_category"] in BRITISH
    }


def finnish() -> Counter[str]:
    """Return how many inspections a reason leads, over models and years of first use."""
    found: Counter[str] = Counter()
    for row in table("fi_inspection_2022.csv"):
        if row["make"] == "all makes" or row["first_use_year"] == "all":
            continue
        for column in ("reason1", "reason2", "reason3"):
            if row[column]:
                found[row[column]] += int(row["inspections"])
    return found


def by_system(reasons: Counter[str]) -> Counter[System]:
    found: Counter[System] = Counter()
    for reason, count in reasons.items():
        if reason in FINNISH:
            found[FINNISH[reason]] += count
    return found


def test_the_rank_correlation_is_that_of_a_textbook_example() -> None:
    # Intelligence and hours of television of ten people: -29/165. The worked example of the
    # encyclopedia article on Spearman's coefficient, from memory.
    quotients = [106, 100, 86, 101, 99, 103, 97, 113, 112, 110]
    hours = [7, 27, 2, 50, 28, 29, 20, 12, 6, 17]
    found = spearman([Fraction(one) for one in quotients], [Fraction(one) for one in hours])
    assert found == pytest.approx(-29 / 165)
    assert ranks([Fraction(one) for one in (3, 1, 3)]) == [Fraction(5, 2), 1, Fraction(5, 2)]


def test_the_british_figures_are_the_published_ones() -> None:
    # 31.7 % of tests fail, 9.1 % with something dangerous; of the dangerous defects 58.1 % are
    # tires and 29.3 % brakes. DVSA MOT-03, text seen.
    rows = {row["defect_category"]: row for row in table("gb_mot_class34_2019_20_q2.csv")}
    whole = rows["ALL: initial failure rate"]
    assert (whole["overall_pct_tests"], whole["dangerous_pct_tests"]) == ("31.7", "9.1")
    assert rows["Tyres"]["dangerous_pct_defects"] == "58.1"
    assert rows["Brakes"]["dangerous_pct_defects"] == "29.3"
    assert set(BRITISH) == {
        name
        for name in rows
        if not name.startswith("ALL") and name != "Identification of the vehicle"
    }


@pytest.mark.parametrize(
    "column",
    [
        "share_of_failing_tests_that_are_dangerous",  # of failing cars in the category
        "dangerous_pct_defects",  # of all dangerous defects
    ],
)
def test_systems_with_many_dangerous_reasons_are_those_with_dangerous_finds_in_britain(
    column: str, record_testsuite_property: Callable[[str, object], None]
) -> None:
    theirs = british(column)
    ours = {name: share_of_dangerous(BRITISH[name]) for name in theirs}
    found = spearman(list(ours.values()), list(theirs.values()))
    record_testsuite_property(f"spearman, catalogue and {column}", found)
    record_testsuite_property(
        "catalogue's shares", {name: round(float(one), 3) for name, one in ours.items()}
    )
    assert found > 0


def test_what_the_british_find_most_has_the_most_reasons(
    record_testsuite_property: Callable[[str, object], None],
) -> None:
    theirs = british("overall_pct_defects")
    ours = [
        Fraction(
            sum(len(one.reasons) for one in load().criteria.values() if one.system in BRITISH[name])
        )
        for name in theirs
    ]
    found = spearman(ours, list(theirs.values()))
    record_testsuite_property("spearman, number of reasons and British defects", found)
    assert found > 0


def test_every_main_reason_in_finland_has_a_system_with_failing_reasons_here() -> None:
    named = set(finnish())
    assert named - NO_SYSTEM == set(FINNISH)
    failing = {
        one.system
        for one in load().criteria.values()
        for reason in one.reasons
        if reason.deficiency in FAILING
    }
    assert set(FINNISH.values()) - failing == set()


def test_what_finland_finds_most_is_among_what_the_catalogue_knows_best(
    record_testsuite_property: Callable[[str, object], None],
) -> None:
    theirs = by_system(finnish())
    failing = Counter(
        one.system
        for one in load().criteria.values()
        for reason in one.reasons
        if reason.deficiency in FAILING
    )
    count = [Fraction(number) for number in theirs.values()]
    reasons = [Fraction(failing[one]) for one in theirs]
    dangerous = [share_of_dangerous({one}) for one in theirs]
    record_testsuite_property("spearman, Finland and reasons", spearman(reasons, count))
    record_testsuite_property("spearman, Finland and dangerous", spearman(dangerous, count))
    # How often is not how bad, and eight systems are few: only the head of both lists is compared.
    most = {one for one, _ in theirs.most_common(3)}
    assert most == {System.SUSPENSION, System.BRAKES, System.STEERING}
    assert most - {one for one, _ in failing.most_common(5)} == set()
