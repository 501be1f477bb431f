"""The cars of the demonstration as they stand: custody, sheets that go on, the own limit."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from program.cases.models import Case
from program.importing.actions import import_folder
from program.importing.states import ImportState
from shared.problems import blockers
from vehicles.custody.queries import authority
from vehicles.inspection.depths import Depth
from vehicles.inspection.gathering import sheet_of
from vehicles.inspection.models import Inspection, Reading
from vehicles.intake.models import Intake

FOLDER = Path(__file__).resolve().parents[3] / "fixtures" / "demo"
LAST_DAY = date(2026, 11, 25)  # what has happened is dated this day or earlier


@pytest.fixture(autouse=True)
def _imported(db: None) -> None:
    run = import_folder(FOLDER, program=None, by=None)
    assert (run.state, run.problems) == (ImportState.DONE, [])


def test_custody_has_each_of_its_troubles_once() -> None:
    stays = Intake.objects.filter(left_on=None)
    found = {
        case.number: [str(one.sentence) for one in blockers(acts[1].problems)]
        for stay in stays
        for case in Case.objects.open().filter(vehicle=stay.vehicle_id)
        for acts in [authority(stay, LAST_DAY)]
    }
    assert {number: said for number, said in found.items() if said} == {
        "26-037": [
            "A court order stands against the car.",
            "No owner has consented to the repair.",
        ],
        "26-045": ["The lien on the car is in default."],
        "26-048": ["No owner has consented to the repair."],
        "26-049": ["No owner has consented to the repair."],
        "26-056": [
            "Nobody has decided yet on what lies in the car: Used needles in a paper cup.",
            "The title joins its names with “and”: Mateo Quist has to sign too.",
        ],
    }
    assert [str(one) for one in stays.filter(sleeps_in=True)] == [
        "2009 Hyundai Santa Fe, stay from 2026-11-13"
    ]


def test_each_ended_sheet_says_what_it_left_unread() -> None:
    rows = Inspection.objects.select_related("intake__vehicle", "intake__program")
    ended = {row: sheet_of(row.intake, Depth(row.depth)) for row in rows if row.ended_at}
    told = {str(row): row.unread for row in ended}
    counted = {
        str(row): sum(
            one.unread for one in sheet.sections if not (one.settled or one.criterion.detail_of)
        )
        for row, sheet in ended.items()
    }
    assert told == counted
    assert sorted(counted.values()) == [0, 0, 22, 24]
    stops = [sheet.stop.title for sheet in ended.values() if sheet.stop]
    assert [row.stopped_because.partition(":")[0] for row in ended if row.stopped_because] == stops


def test_two_technicians_read_the_sheets_that_go_on() -> None:
    going = Inspection.objects.open().order_by("pk")
    assert [(row.depth, str(row.intake.vehicle)) for row in going] == [
        ("final", "2012 Toyota Corolla"),
        ("look", "2010 Chevrolet Malibu"),
        ("full", "2014 Subaru Impreza"),
        ("full", "2009 Toyota Camry"),
    ]
    for row in going.exclude(depth="look"):
        readings = row.intake.readings.filter(final=row.depth == "final")
        assert readings.values("read_by").distinct().count() == 2


def test_readings_are_judged_by_the_limit_of_their_day() -> None:
    chips = Reading.objects.filter(criterion="glass-chip").order_by("read_on")
    assert [(row.read_on, row.limit, row.shipped_limit) for row in chips] == [
        (date(2026, 10, 28), "3/4 in", ""),
        (date(2026, 11, 17), "1/2 in", "3/4 in"),
    ]
