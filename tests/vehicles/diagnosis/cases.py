"""The case of a car whose hose leaked until the head gasket went; each test passes the rest."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from tests.vehicles.diagnosis.models import a_check, a_model
from vehicles.diagnosis.explain import explain
from vehicles.diagnosis.kinds import Sureness
from vehicles.diagnosis.known import Concluded, Ending, Record, Text
from vehicles.diagnosis.values import Session, Step

if TYPE_CHECKING:
    from vehicles.diagnosis.explain import Case
    from vehicles.diagnosis.fault_model import Fault

MORNING = dt.datetime(2026, 11, 30, 9, 5)  # noqa: DTZ001  # as a page shows it, in local time
ROSALIND = "R. Amadi, ASE A8"


def a_step(check: str, outcome: str = "", **fields: Any) -> Step:
    """Return what a check showed at five past nine, seen by a technician."""
    defaults: dict[str, Any] = {"check": check, "outcome": outcome, "seen_by": ROSALIND}
    return Step(**defaults | {"at": MORNING} | fields)


def a_conclusion(fault: str = "hose", **fields: Any) -> Concluded:
    """Return a conclusion that the rule confirmed."""
    defaults: dict[str, Any] = {
        "fault": fault,
        "title": fault.capitalize(),
        "sureness": Sureness.CONFIRMED,
        "p": 0.973,
        "evidence": "Level: empty.",
        "by": ROSALIND,
        "at": MORNING,
    }
    return Concluded(**defaults | fields)


def an_ending(**fields: Any) -> Ending:
    """Return the end of a diagnosis that came to a conclusion."""
    defaults: dict[str, Any] = {"how": "Concluded", "because": "", "by": "R. Amadi", "at": MORNING}
    return Ending(**defaults | fields)


def a_record(**fields: Any) -> Record:
    """Return what is on record of a car that gets hot; nothing is concluded."""
    defaults: dict[str, Any] = {
        "garage": "Osier Street Garage",
        "number": "D-7-1",
        "day": MORNING.date(),
        "made_by": "J. Wren",
        "made_at": MORNING + dt.timedelta(hours=6),
        "car": "2012 Toyota Corolla",
        "facts": (("VIN", "1ZZAA00A0B0000001"), ("Odometer", "148,190 miles")),
        "complaint": "It boils at every light.",
        "verified": "Shown",
        "verified_note": "gauge in the red",
        "begun_by": "R. Amadi",
        "begun_at": MORNING,
        "text": Text(title="Engine runs hot", version="1", origin="Our own", sha256="ab" * 32),
    }
    return Record(**defaults | fields)


def a_session(*steps: Step, **fields: Any) -> Session:
    """Return a session of the small model at 60 dollars an hour."""
    defaults: dict[str, Any] = {"model": a_model(), "steps": steps, "rate": 60_00}
    return Session(**defaults | fields)


def a_case(*steps: Step, session: Session | None = None, **fields: Any) -> Case:
    """Return the case of these observations; without any, an empty tank and many bubbles."""
    seen = steps or (a_step("level", "empty"), a_step("bubbles", "yes"))
    return explain(a_record(**fields), session or a_session(*seen))


def a_contradicted_case(**fields: Any) -> Case:
    """Return a case whose second observation nothing explains."""
    never = a_check("never", sound=(1.0, 0.0), given={"hose": (1.0, 0.0)})
    model = a_model(checks=(*a_model().checks, never), unlisted=0.0, faults=_listed())
    session = a_session(a_step("level", "empty"), a_step("never", "yes"), model=model)
    return a_case(session=session, **fields)


def _listed() -> tuple[Fault, ...]:
    """Return the faults with the share of what is not listed added to the first."""
    fan, *others = a_model().faults
    return (replace(fan, weight=fan.weight + 0.05), *others)
