"""What the page of trouble codes shows."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from tests.factories import make_intake, make_scan
from vehicles.codes.computing import codes_page
from vehicles.codes.trouble_codes import Severity

pytestmark = pytest.mark.django_db
NOON = dt.datetime(2026, 11, 25, 12, tzinfo=dt.UTC)


def test_codes_stand_worst_first_with_unknown_ones_last() -> None:
    stay = make_intake()
    make_scan(stay, "P1345 P0420 P0217 P0301")
    (row,) = codes_page(stay).scans
    assert [(one.kept.code, one.severity) for one in row.rows] == [
        ("P0217", Severity.STOP),
        ("P0301", Severity.FIX),
        ("P0420", Severity.ADVISORY),
        ("P1345", None),
    ]


def test_words_beside_a_code_and_lines_without_one_come_from_the_kept_text() -> None:
    stay = make_intake()
    make_scan(stay, "P0301", pasted="report of the tool\nP0301 confirmed rough\nPO128")
    (row,) = codes_page(stay).scans
    assert [one.remark for one in row.rows] == ["rough"]
    assert [str(one.sentence) for one in row.unread] == [
        "Line 1: “report of the tool” holds no code.",
        "Line 3: “PO128” is not a code. Is it P0128?",
    ]


def test_a_weak_battery_is_said_before_the_codes_are_believed() -> None:
    stay = make_intake()
    make_scan(stay, "U0100", battery_volts="11.9")
    (row,) = codes_page(stay).scans
    assert [str(one) for one in row.words[1:]] == [
        "Battery first: 11.9 V at rest is weak.",
        "Codes set on a weak battery are believed after it is charged and they return.",
        "This goes most of all for U0100.",
    ]


def test_readings_that_count_are_parted_from_those_that_no_longer_do() -> None:
    stay = make_intake()
    old = make_scan(stay, "P0217", at=NOON, cleared_at=NOON)
    new = make_scan(stay, "P0420")
    page = codes_page(stay)
    assert [one.scan for one in page.counting] == [new]
    assert [(one.scan, one.newest) for one in page.earlier] == [(old, False)]
    assert page.stops == []


def test_the_queries_do_not_grow_with_the_readings(django_assert_num_queries: Any) -> None:
    stay = make_intake()
    for hour in range(3):
        make_scan(stay, "P0301 P0420", at=NOON + dt.timedelta(hours=hour))
        with django_assert_num_queries(2):
            codes_page(stay)
