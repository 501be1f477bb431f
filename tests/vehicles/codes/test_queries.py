"""Which readings say what a car has stored now."""

from __future__ import annotations

import datetime as dt
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest
from django.utils import timezone

from tests.factories import make_intake, make_scan
from vehicles.codes.queries import (
    counted,
    lowest_volts,
    only_pending,
    scans_of,
    stop_words,
    stored,
    whole,
)

if TYPE_CHECKING:
    from vehicles.models import CodeScan, Intake

pytestmark = pytest.mark.django_db
NOON = dt.datetime(2026, 11, 25, 12, tzinfo=dt.UTC)


def scan(stay: Intake, hour: int, codes: str = "", **fields: Any) -> CodeScan:
    return make_scan(stay, codes, at=NOON + dt.timedelta(hours=hour), **fields)


def test_readings_are_listed_newest_first_withdrawn_ones_too() -> None:
    stay = make_intake()
    old, gone, new = scan(stay, 1, "P0301"), scan(stay, 2, withdrawn_at=NOON), scan(stay, 3)
    assert scans_of(stay) == [new, gone, old]
    assert counted(scans_of(stay)) == [new]


def test_readings_of_some_modules_count_together_back_to_one_of_all() -> None:
    stay = make_intake()
    scan(stay, 1, "P0101")
    whole_car, brakes = scan(stay, 2, "P0301", complete=True), scan(stay, 3, "C0035 P0301")
    assert counted(scans_of(stay)) == [brakes, whole_car]
    assert stored([brakes, whole_car]) == ["C0035", "P0301"]


def test_what_was_read_before_the_codes_were_cleared_counts_until_they_are_read_again() -> None:
    stay = make_intake()
    first = scan(stay, 1, "P0301", cleared_at=NOON)
    assert counted(scans_of(stay)) == [first]
    second = scan(stay, 2, "P0420")
    assert counted(scans_of(stay)) == [second]


def test_a_reading_is_whole_when_all_modules_were_read_and_nothing_was_cleared_before() -> None:
    stay = make_intake()
    scans = [scan(stay, 2, complete=True), scan(stay, 1, "P0301")]
    assert whole(scans, scans[:1])
    assert not whole(scans[1:], scans[1:])
    scans[1].cleared_at = timezone.now()
    assert not whole(scans, scans[:1])


def test_a_code_is_only_pending_when_no_reading_has_it_as_more() -> None:
    stay = make_intake()
    row = scan(stay, 1, "P0301 P0420")
    row.codes.update(storage="pending")
    assert only_pending([row]) == {"P0301", "P0420"}
    assert only_pending([row, scan(stay, 2, "P0301")]) == {"P0420"}


def test_the_lowest_voltage_that_was_measured_counts() -> None:
    stay = make_intake()
    volts = ("12.6", "", "11.9")
    rows = [scan(stay, hour, battery_volts=one) for hour, one in enumerate(volts)]
    assert lowest_volts(rows) == Fraction("11.9")
    assert lowest_volts(rows[1:2]) is None


def test_a_flashing_lamp_and_codes_that_say_so_keep_a_car_off_the_road_once_each() -> None:
    stay = make_intake()
    rows = [scan(stay, 1, "P0217 P0420", lamp="flashing"), scan(stay, 2, "P0217")]
    assert stop_words(rows) == [
        "The check-engine lamp flashes: the engine misfires.",
        "P0217: engine over-temperature.",
    ]
    assert stop_words([scan(stay, 3, "P0420")]) == []


def test_a_code_without_meaning_that_was_raised_to_stop_says_so() -> None:
    row = scan(make_intake(), 1, "P1345")
    row.codes.update(severity="stop-driving")
    assert stop_words([row]) == ["P1345: meaning not known."]
