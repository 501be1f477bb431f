"""What a fluid shows becomes a finding: once, graver when it gets worse, never closed by itself.

Classes of brake and steering fluid: Directive 2014/45/EU Annex I, 1.1.10 (d), 1.8 (a) and 2.1.5 (b)
(text seen); the rest program policy, common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from shared.models import Job
from tests.factories import make_finding, make_item, make_reading
from tests.vehicles.fluids.rows import FLUIDS, read, say_maker, top_up
from vehicles.fluids.actions import take_back_reading
from vehicles.fluids.levels import Heat, Level, Look
from vehicles.fluids.writing import title_of
from vehicles.inspection.wording import spanish
from vehicles.models import Finding, FluidReading, Intake

pytestmark = pytest.mark.django_db
LOW = "Brake fluid: Fluid is below MIN"
GONE = "Brake fluid: No fluid to be seen"
DIRTY = "Brake fluid: Fluid is dirty or has sediment"


def brake(stay: Intake, level: Level, **fields: Any) -> FluidReading:
    return read(stay, level, "brake", **{"engine": None, "heat": None} | fields)


def titles(stay: Intake) -> list[str]:
    return list(Finding.objects.open().filter(intake=stay).values_list("title", flat=True))


def take_back(row: FluidReading) -> None:
    take_back_reading(reading=row, fluid=FLUIDS[row.fluid], by=row.by)


def test_each_finding_of_a_fluid_has_a_name_in_spanish() -> None:
    named = {title_of(one, found) for one in FLUIDS.values() for found in one.findings.values()}
    assert sorted(named - set(spanish())) == []


def test_low_brake_fluid_is_a_finding_with_the_class_of_the_catalogue(stay: Intake) -> None:
    row = brake(stay, Level.LOW)
    found = Finding.objects.get()
    assert (row.finding, found.title, found.system) == (found, LOW, "brakes")
    assert (found.deficiency, found.severity, found.reason_key) == ("minor", 1, "1.1.10 d")
    assert (found.text_seen, found.evidence, found.found_by) == (
        True,
        "Brake fluid: below the low mark",
        row.read_by,
    )
    assert found.source.startswith("Directive 2014/45/EU Annex I, 1.1.10 (d)")


def test_no_brake_fluid_is_never_handed_back(stay: Intake) -> None:
    brake(stay, Level.NONE)
    found = Finding.objects.get()
    assert (found.title, found.deficiency, found.never_release) == (GONE, "dangerous", True)


@pytest.mark.parametrize(
    ("fluid", "fields", "title", "deficiency"),
    [
        ("clutch", {}, "Clutch fluid is below MIN: a cylinder or the line leaks", "minor"),
        ("coolant", {}, "Coolant: Coolant is below MIN, no leak found", "none"),
        (
            "coolant",
            {"level": Level.FULL, "look": Look.MILKY},
            "Oil in the coolant: a gasket or a cooler leaks inside",
            "major",
        ),
        (
            "engine-oil",
            {"level": Level.FULL, "look": Look.MILKY},
            "Engine oil: Oil looks like milk: coolant is in it",
            "none",
        ),
        (
            "engine-oil",
            {"level": Level.FULL, "look": Look.METAL},
            "Metal in the engine oil: bearings wear",
            "major",
        ),
        (
            "automatic",
            {"level": Level.FULL, "look": Look.BURNT},
            "Transmission fluid is dark and smells burnt: clutches wear",
            "major",
        ),
    ],
)
def test_what_is_low_or_spoiled_is_a_finding(
    stay: Intake, fluid: str, fields: dict[str, Any], title: str, deficiency: str
) -> None:
    say_maker(stay, fluid, heat=Heat.HOT)
    read(stay, **{"level": Level.LOW} | fields, fluid=fluid)
    found = Finding.objects.get()
    assert (found.title, found.deficiency) == (title, deficiency)


def test_a_level_that_is_simply_filled_up_is_no_finding(stay: Intake) -> None:
    say_maker(stay)
    read(stay, Level.LOW)
    assert titles(stay) == []


def test_no_oil_on_the_stick_strands_the_car(stay: Intake) -> None:
    say_maker(stay)
    read(stay, Level.NONE)
    assert Finding.objects.get().strands is True


def test_a_new_finding_asks_for_the_ranks(stay: Intake) -> None:
    brake(stay, Level.LOW)
    assert Job.objects.filter(key__startswith="rank:").count() == 1


def test_the_same_again_is_linked_to_the_finding_that_stands(stay: Intake) -> None:
    first, second = brake(stay, Level.LOW), brake(stay, Level.LOW)
    assert (first.finding, titles(stay)) == (second.finding, [LOW])


def test_a_good_reading_closes_no_finding(stay: Intake) -> None:
    brake(stay, Level.LOW)
    row = brake(stay, Level.FULL)
    assert (row.finding, titles(stay)) == (None, [LOW])


def test_a_worse_level_takes_the_place_of_the_milder_finding(stay: Intake) -> None:
    brake(stay, Level.LOW)
    brake(stay, Level.NONE)
    assert titles(stay) == [GONE]
    assert Finding.objects.get(title=LOW).withdrawn_because == f"Read again: {GONE}"


def test_a_better_level_that_is_still_low_stays_with_the_graver_finding(stay: Intake) -> None:
    first, second = brake(stay, Level.NONE), brake(stay, Level.LOW)
    assert (second.finding, titles(stay)) == (first.finding, [GONE])


def test_what_is_low_and_dirty_is_two_findings(stay: Intake) -> None:
    row = brake(stay, Level.LOW, look=Look.MILKY)
    assert sorted(titles(stay)) == [LOW, DIRTY]
    assert row.finding
    assert row.finding.title == DIRTY


def test_the_gravest_finding_is_kept_with_the_reading(stay: Intake) -> None:
    row = brake(stay, Level.NONE, look=Look.MILKY)
    assert row.finding
    assert (row.finding.title, sorted(titles(stay))) == (GONE, sorted([DIRTY, GONE]))


def test_the_finding_of_the_sheet_about_the_same_is_linked(stay: Intake) -> None:
    known = make_finding(
        intake=stay,
        reading=make_reading(intake=stay, criterion="brake-master"),
        reason_key="1.1.10 d.2",
        deficiency="major",
    )
    assert (brake(stay, Level.LOW).finding, Finding.objects.count()) == (known, 1)


def test_the_finding_of_the_sheet_about_another_matter_is_not_linked(stay: Intake) -> None:
    make_finding(
        intake=stay,
        reading=make_reading(intake=stay, criterion="brake-master"),
        reason_key="1.1.10 b.2",
        deficiency="dangerous",
    )
    brake(stay, Level.LOW)
    assert Finding.objects.count() == 2


def test_a_reading_taken_back_withdraws_what_rests_on_it_alone(stay: Intake) -> None:
    row = brake(stay, Level.LOW, look=Look.MILKY)
    brake(stay, Level.LOW)
    take_back(row)
    assert titles(stay) == [LOW]
    assert Finding.objects.get(title=DIRTY).withdrawn_because == "The reading was taken back."


def test_a_finding_with_work_on_it_outlasts_its_reading(stay: Intake) -> None:
    row = brake(stay, Level.LOW)
    make_item(intake=stay, findings=[row.finding])
    take_back(row)
    assert titles(stay) == [LOW]


def test_a_finding_of_the_sheet_outlasts_the_reading_of_the_fluid(stay: Intake) -> None:
    known = make_finding(
        intake=stay,
        reading=make_reading(intake=stay, criterion="brake-master"),
        reason_key="1.1.10 d",
        deficiency="minor",
    )
    row = brake(stay, Level.LOW)
    take_back(row)
    known.refresh_from_db()
    assert (row.finding, known.withdrawn_because) == (known, "")


def test_pouring_opens_no_finding(stay: Intake) -> None:
    say_maker(stay)
    top_up(read(stay, Level.LOW))
    assert Finding.objects.count() == 0
