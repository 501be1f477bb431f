"""Sentences that a conclusion keeps."""

from __future__ import annotations

from dataclasses import replace

from tests.vehicles.diagnosis.test_looking import session
from vehicles.diagnosis.wording import LONGEST, evidence_of, in_short, small


def test_evidence_names_what_speaks_most_first() -> None:
    one = session(("when", "standing"), ("level", "normal"), ("fan-runs", "stands"))
    assert evidence_of(one, "fan").startswith("Fan with the engine hot: it stands still; ")
    assert evidence_of(session(), "fan") == ""


def test_evidence_is_empty_where_all_contradicts() -> None:
    assert evidence_of(session(("level", "normal")), "hose") == ""


def test_evidence_keeps_to_what_a_conclusion_has_room_for() -> None:
    one = session(("when", "standing"), ("level", "normal"), ("fan-runs", "stands"))
    checks = [replace(check, title=check.code + "!" * 195) for check in one.model.checks]
    long = replace(one, model=replace(one.model, checks=tuple(checks)))
    text = evidence_of(long, "fan")
    assert text.startswith("Fan-runs!")
    assert 200 < len(text) <= LONGEST


def test_initials_stay_as_they_are() -> None:
    assert in_short("AC pressure", "Low") == "AC pressure: low"
    assert small("Low") == "low"
