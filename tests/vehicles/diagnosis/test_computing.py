"""What the page of a diagnosis says, in titles and figures."""

from __future__ import annotations

import pytest

from tests.factories import make_intake
from tests.vehicles.diagnosis.rows import make_diagnosis, see
from vehicles.diagnosis.computing import complaint_rows, page_of, photo_key, point_of
from vehicles.diagnosis.gathering import session_of

pytestmark = pytest.mark.django_db


def test_complaints_that_fit_the_words_stand_first_and_all_stand_once() -> None:
    row = make_diagnosis()
    rows = complaint_rows(row.intake, "it runs hot")
    codes = [one.model.code for one in rows]
    assert codes[0] == "hot"
    assert len(codes) == len(set(codes)) > 20
    assert {one.model.code: one.open_id for one in rows}["hot"] == row.pk


def test_a_complaint_that_nobody_diagnoses_here_is_open_nowhere() -> None:
    rows = complaint_rows(make_intake(), "brakes grind")
    assert {one.open_id for one in rows} == {None}
    assert rows[0].hit is not None


def test_each_check_says_what_it_takes_and_whether_it_is_worth_it() -> None:
    row = make_diagnosis()
    see(row, "level", "low")
    said = {one.check.code: (str(one.cost), str(one.so)) for one in page_of(row)["options"]}
    assert said["fan-runs"][1] == "not now"
    assert said["road"][0] == "40 minutes, making it so first: car on the road."
    assert said["when"][0] == "1 minute."


def test_outcomes_and_what_moved_a_fault_stand_in_words() -> None:
    row = make_diagnosis()
    see(row, "when", "standing")
    page = page_of(row)
    fan = next(one for one in page["moved"] if one.fault.code == "fan")
    [(title, label, times)] = fan.moved
    assert (title, label, str(times)[0]) == ("When it gets hot", "standing", "×")
    best = page["best"]
    assert best.check.code == page["found"].upcoming
    labels = [one.label for one in best.outlooks]
    assert labels == [one.label for one in best.check.outcomes]


def test_what_was_seen_is_listed_with_its_label_or_why_it_was_not_done() -> None:
    row = make_diagnosis()
    see(row, "level", "low")
    see(row, "gas", "", could_not="Tool not here")
    listed = [(one.title, one.label) for one in page_of(row)["seen"]]
    assert listed == [
        ("Coolant level, cold", "Low"),
        ("Combustion gas in the coolant", "Tool not here"),
    ]


def test_the_point_of_a_check_has_its_cautions_setups_and_what_bars_it() -> None:
    row = make_diagnosis()
    session = session_of(row)
    point = point_of(row, session, session.model.check("level"))
    assert [one.code for one in point.setups] == ["cold"]
    assert [one.code for one in point.cautions] == ["hot-fluids"]
    assert (point.step, point.photo_key) == (None, f"{row.pk}/level")
    assert photo_key(row, "when") == f"{row.pk}/when"
