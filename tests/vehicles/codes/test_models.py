"""What the database refuses of readings and codes."""

from __future__ import annotations

import pytest

from tests.factories import make_intake, make_scan
from tests.refusals import assert_refused
from tests.vehicles.rows import unsaved

pytestmark = pytest.mark.django_db


def test_a_lamp_is_one_of_the_known_states() -> None:
    scan = unsaved(make_scan(make_intake()), lamp="green")
    assert_refused(scan, "code_scan_lamp_known", "This lamp is not known to the program.")


def test_a_code_stands_once_in_a_reading_for_each_way_it_is_stored() -> None:
    code = make_scan(make_intake(), "P0301").codes.get()
    assert_refused(unsaved(code), "trouble_code_once", "This code is in the list already.")
    unsaved(code, storage="pending").save()
    assert code.scan.codes.count() == 2


def test_rows_name_themselves() -> None:
    scan = make_scan(make_intake(), "P0301")
    assert str(scan) == f"codes of {scan.at:%Y-%m-%d}"
    assert [str(one) for one in scan.codes.all()] == ["P0301"]
