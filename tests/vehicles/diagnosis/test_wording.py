"""Sentences that a conclusion keeps."""

from __future__ import annotations

from tests.vehicles.diagnosis.test_looking import session
from vehicles.diagnosis.wording import evidence_of, in_short, small


def test_evidence_names_what_speaks_most_first() -> None:
    one = session(("when", "standing"), ("level", "normal"), ("fan-runs", "stands"))
    assert evidence_of(one, "fan").startswith("Fan with the engine hot: it stands still; ")
    assert evidence_of(session(), "fan") == ""


def test_evidence_is_empty_where_all_contradicts() -> None:
    assert evidence_of(session(("level", "normal")), "hose") == ""


def test_initials_stay_as_they_are() -> None:
    assert in_short("AC pressure", "Low") == "AC pressure: low"
    assert small("Low") == "low"
