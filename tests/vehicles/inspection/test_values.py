"""The facts of a report: what is open, what grounds a car, what a set class does."""

from __future__ import annotations

from typing import Any

import pytest

from tests.vehicles.inspection.reports import a_report, a_wrong
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.values import Issue, Regraded


def test_only_one_paper_is_in_spanish() -> None:
    assert [kind.language for kind in Issue] == ["en", "en", "es"]
    assert len({kind.label for kind in Issue}) == 3


@pytest.mark.parametrize(
    ("fields", "applies"),
    [({}, True), ({"waits": True}, False), ({"refused_because": "Worn."}, False)],
)
def test_a_class_is_set_unless_it_waits_or_was_refused(fields: Any, applies: Any) -> None:
    row = Regraded(was="minor", becomes="none", because="Dry.", by="R. Amadi", **fields)
    assert row.applies is applies


def test_a_danger_and_what_is_never_handed_back_ground_a_car() -> None:
    minor = DeficiencyClass.MINOR
    assert [a_wrong().grounds, a_wrong(deficiency=minor).grounds] == [True, False]
    assert a_wrong(deficiency=minor, held=True).grounds


def test_what_was_put_right_or_withdrawn_is_closed() -> None:
    mended, gone = a_wrong(cleared_on=a_report().day), a_wrong(withdrawn_because="Misread.")
    report = a_report(wrong=(a_wrong(), mended, gone), read=3, total=5)
    assert (report.open, report.closed, report.left) == ((a_wrong(),), (mended, gone), 2)
