"""What the diagnoses of the demonstration tell: ways to end, a root upstream, what was learned."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from program.importing.actions import import_folder
from program.importing.states import ImportState
from shared.accounts.models import Program
from vehicles.diagnosis.batch import Stage, cars_by_complaint, stories
from vehicles.diagnosis.gathering import session_of
from vehicles.diagnosis.looking import Looking, looking
from vehicles.fluids.gathering import state_of
from vehicles.fluids.rows import load
from vehicles.models import Conclusion, Diagnosis, Finding, Intake, Prerequisite, TroubleCode

FOLDER = Path(__file__).resolve().parents[3] / "fixtures" / "demo"


@pytest.fixture
def program(db: None) -> Program:
    run = import_folder(FOLDER, program=None, by=None)
    assert (run.state, run.problems) == (ImportState.DONE, [])
    return Program.objects.get()


def of(number: str, complaint: str) -> Diagnosis:
    """Return a diagnosis by the plate of its car."""
    return Diagnosis.objects.get(intake__vehicle__plate=f"BWK {number}", complaint=complaint)


def test_diagnoses_end_in_each_way_but_being_dropped_and_two_go_on(program: Program) -> None:
    found = Counter(Diagnosis.objects.values_list("ended_how", flat=True))
    assert found == {"concluded": 64, "": 2, "specialist": 1, "not_shown": 1}


def test_four_complaints_have_taught_something_and_five_repairs_did_not_hold(
    program: Program,
) -> None:
    cars = {code: len(found) for code, found in cars_by_complaint(program).items()}
    assert sum(cars.values()) == 47
    assert {code for code, count in cars.items() if count > 8} == {
        *("brake-noise", "bumps-noise", "charging", "overheats")
    }
    stages = Counter(one.stage for one in stories(Diagnosis.objects.all(), program))
    assert (stages[Stage.NOT_HELD], stages[Stage.TO_ASK]) == (5, 2)


def test_the_gasket_went_because_the_hose_leaked_and_its_repair_waits_for_the_hose(
    program: Program,
) -> None:
    gasket = Conclusion.objects.get(finding__title__startswith="Head gasket")
    assert gasket.root is not None
    assert (gasket.root.fault, gasket.root.finding) == ("hose", gasket.finding.caused_by)
    first = Prerequisite.objects.filter(item__findings=gasket.finding)
    assert [str(one.first.title) for one in first] == ["Lower radiator hose and clamps"]


def test_the_comeback_was_an_alternator_that_the_cable_had_looked_like(program: Program) -> None:
    before, after = Conclusion.objects.filter(
        diagnosis__complaint="charging", diagnosis__intake__vehicle__plate="BWK 3140"
    ).order_by("at")
    assert (before.fault, after.fault) == ("alternator", "charge-cable")
    assert before.diagnosis.held.get().gone is False


def test_what_was_seen_of_the_car_that_shakes_fits_together_badly(program: Program) -> None:
    found = looking(session_of(of("5981", "vibration")))
    assert isinstance(found, Looking)
    assert found.clash is not None
    assert found.clash.check == "road-test"


def test_the_car_that_gets_hot_goes_on_with_what_other_cars_taught(program: Program) -> None:
    row = of("4062", "overheats")
    assert (row.experience_cars, len(session_of(row).steps)) == (11, 3)
    found = looking(session_of(row))
    assert isinstance(found, Looking)
    assert found.upcoming


def test_an_engine_that_was_low_on_oil_may_run_again(program: Program) -> None:
    stay = Intake.objects.get(vehicle__plate="BWK 4062")
    state = state_of(stay, load()["engine-oil"])
    assert (len(state.readings), len(state.top_ups), state.may_run) == (3, 2, True)


def test_what_left_repaired_is_cleared_and_no_code_is_unknown(program: Program) -> None:
    left = Finding.objects.open().filter(
        intake__left_on__isnull=False, conclusion__finding__isnull=False
    )
    assert list(left) == []
    assert not TroubleCode.objects.filter(meaning="").exists()
