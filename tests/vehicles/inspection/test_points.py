"""One point: where it lies, what its button says, what a good number near its limit says."""

from __future__ import annotations

import datetime as dt
from fractions import Fraction
from typing import Any

import pytest
from django.utils import timezone

from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.points import Point, Setting, number_of, place_of
from vehicles.models import Finding, NotRead, Reading, Regrade

TODAY = dt.date(2026, 11, 30)


def point(code: str, position: str = "LF", **fields: Any) -> Point:
    reading = Reading(**{"deficiency": "none", "unit": "32nds", "intake_id": 2} | fields)
    return Point(criterion=load()[code], position=position, reading=reading)


def setting(miles_per_week: int = 220, **fields: Any) -> Setting:
    odometers = fields.pop("odometers", {})
    return Setting(
        today=TODAY,
        miles_per_week=miles_per_week,
        odometers=odometers,
        criteria=load().criteria,
        **fields,
    )


@pytest.mark.parametrize(
    ("position", "place"),
    [
        ("LF", ("front", 0, True)),
        ("RR", ("rear", 1, True)),
        ("RF-lower", ("front lower", 1, True)),
        ("right", ("", 1, True)),
        ("rear-center", ("rear center", 0, False)),
        ("", ("", 0, False)),
    ],
)
def test_a_place_lies_in_a_line_of_the_car(position: str, place: tuple[str, int, bool]) -> None:
    assert place_of(position) == place


@pytest.mark.parametrize(
    ("position", "title"), [("RR", "Tread depth, rear right"), ("", "Tread depth")]
)
def test_a_point_is_named_with_its_place(position: str, title: str) -> None:
    assert Point(criterion=load()["tire-tread"], position=position).title == title


@pytest.mark.parametrize(
    ("code", "fields", "words"),
    [
        ("tire-tread", {"typed": "3"}, "3/32 in"),
        ("tire-tread", {"typed": "1.6", "unit": "mm"}, "1.6 mm"),
        ("tire-tread", {"typed": "1.6 mm", "unit": "mm"}, "1.6 mm"),
        ("tire-tread", {"typed": "3", "unit": ""}, "3"),
        ("tire-pressure", {"typed": "20", "unit": "percent"}, "20%"),
        ("brake-rotor", {"typed": "0.9 min 0.88", "unit": "in"}, "0.9 in"),
        ("stop-lamps", {"typed": "Good", "unit": ""}, "good"),
        ("stop-lamps", {"typed": "4.3.1 a.2", "unit": "", "deficiency": "major"}, "major"),
        ("stop-lamps", {"typed": "4.3.1 a.2", "unit": ""}, "noted"),
    ],
)
def test_a_reading_is_short_on_its_button(code: str, fields: dict[str, str], words: str) -> None:
    assert point(code, **fields).in_words == words


def test_a_point_without_a_reading_says_so_and_why() -> None:
    horn = load()["horn"]
    assert Point(criterion=horn).in_words == "not read"
    assert Point(criterion=horn, not_read=NotRead(because="Weather")).in_words == "can’t read"


def test_a_class_that_people_set_counts_over_the_catalogues() -> None:
    reading = Reading(deficiency="major", typed="3", unit="32nds", never_release=False)
    finding = Finding(deficiency="dangerous")
    raised = Point(criterion=load()["tire-tread"], reading=reading, finding=finding)
    assert raised.deficiency is DeficiencyClass.DANGEROUS
    assert str(raised.drives).startswith("Do not drive:")


def test_a_change_waits_until_its_second_person_has_answered() -> None:
    waits, done = Regrade(waits=True), Regrade(waits=False)
    assert Point(criterion=load()["horn"], regrades=(done, waits)).waiting is waits
    assert Point(criterion=load()["horn"], regrades=(done,)).waiting is None


def test_the_eu_class_is_a_fact_beside_what_the_us_rejects() -> None:
    assert point("tire-tread", typed="1", reason_key="5.2.3 e.2").eu_class == "dangerous"
    assert point("tire-tread", typed="1", reason_key="of an older catalogue").eu_class is None


def test_the_last_reading_is_this_one_else_the_one_of_an_earlier_stay() -> None:
    older = Reading(typed="7", unit="32nds", deficiency="none")
    unread = Point(criterion=load()["tire-tread"], earlier=(Reading(typed="9"), older))
    assert (unread.last, unread.last_in_words, unread.seen_id) == (older, "7/32 in", None)
    assert Point(criterion=load()["tire-tread"]).last_in_words == ""


def test_a_good_number_near_its_limit_says_the_month_it_comes() -> None:
    # 0.7/32 in over the limit at 5,000 miles for each 32nd, the early end of common practice.
    assert str(point("tire-tread", typed="2.7").near(setting())) == (
        "2.7/32 in of tread: legal now, under 2/32 in by about March "
        "at 220 miles a week, by usual wear."
    )


def test_a_cars_own_wear_goes_before_the_usual() -> None:
    now = point("tire-tread", typed="3")
    before = Reading(typed="5", unit="32nds", deficiency="none", intake_id=1)
    worn = Point(criterion=now.criterion, position="LF", reading=now.reading, earlier=(before,))
    said = str(worn.near(setting(odometers={1: 80_000, 2: 84_000})))
    assert said.endswith("at 220 miles a week, by this car's own wear.")


def test_a_number_far_from_its_limit_or_at_fault_or_seen_says_nothing_of_wear() -> None:
    assert point("tire-tread", typed="9").near(setting()) is None
    assert point("tire-tread", typed="1", deficiency="dangerous").near(setting()) is None
    assert point("horn", typed="good", unit="").near(setting()) is None


def test_without_miles_a_week_advice_is_given_without_a_month() -> None:
    said = str(point("tire-tread", typed="3").near(setting(0)))
    assert said == "3/32 in of tread: legal now, near the limit of 2/32 in."


def test_a_number_that_todays_catalogue_refuses_is_none() -> None:
    assert number_of(load()["tire-tread"], Reading(typed="99", unit="32nds")) is None
    four_mm = number_of(load()["tire-tread"], Reading(typed="4", unit="mm"))
    assert four_mm == Fraction(4 * 32 * 10, 254)  # 32nds of an inch of 25.4 mm


def test_the_script_of_the_sheet_gets_everything_that_stands() -> None:
    values = point("tire-tread", typed="1", deficiency="dangerous", read_by="R. Amadi").values
    assert (values["figure"], values["deficiency"], values["read_by"]) == (
        "1/32 in",
        "dangerous",
        "R. Amadi",
    )
    assert str(values["drives"]).startswith("Do not drive:")


def test_the_time_of_a_reading_is_the_one_where_the_program_is() -> None:
    before = dt.datetime(2025, 1, 15, 18, 5, tzinfo=dt.UTC)
    with timezone.override("America/Chicago"):
        today = timezone.localtime()
        values = point("tire-tread", typed="4", recorded_at=today).values
        assert values["at"] == f"{today.hour}:{today.minute:02}"
        assert point("tire-tread", typed="4", recorded_at=before).values["at"] == "12:05 on Jan 15"
    assert Point(criterion=load()["horn"]).values["at"] == ""
