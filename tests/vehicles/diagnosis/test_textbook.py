from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.vehicles.diagnosis.enumeration import random_model, sets_of
from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from tests.vehicles.diagnosis.technicians import (
    RATE,
    a_car,
    gone_through,
    proving,
    some_cars,
    terms,
    two_faults,
)
from vehicles.diagnosis.complaints import load
from vehicles.diagnosis.fault_model import (
    After,
    Bar,
    Causes,
    Effort,
    Specialist,
    outcome_row,
    unlisted_row,
)
from vehicles.diagnosis.inference import believe
from vehicles.diagnosis.looking import Looking, looking
from vehicles.diagnosis.simulation import (
    Bill,
)
from vehicles.diagnosis.textbook import Kind, State, Technician, Way, exposed, known_model
from vehicles.diagnosis.values import Session, Step

if TYPE_CHECKING:
    from vehicles.diagnosis.fault_model import FaultModel


def page_of(model: FaultModel, state: State) -> Looking:
    steps = tuple(Step(check=check, outcome=seen) for check, seen in state.observed.items())
    page = looking(Session(model=model, steps=steps, setups=state.setups, rate=RATE))
    assert isinstance(page, Looking)
    return page


@pytest.mark.parametrize(
    ("code", "kind"), [("overheats", Kind.EXPOSE), ("lamps-wiring", Kind.CONFIRM)]
)
def test_the_advised_technician_does_what_the_page_says(code: str, kind: Kind) -> None:
    model = load()[code]
    technician = Technician(model, Way.ADVISED, terms())
    car = some_cars(model, lambda car: len(car.present) == 1, wanted=1)[0]
    state = State()
    while (act := technician.next_act(state)).kind is Kind.CHECK:
        page = page_of(model, state)
        assert act.code == page.upcoming
        assert page.offered == ()
        state = state.with_outcome(model.check(act.code), car.outcomes[act.code])
    page = page_of(model, state)
    assert len(state.observed) >= 4
    assert (act.kind, act.code) == (kind, page.suspect or page.offered[0].fault.code)


@pytest.mark.parametrize("causes", Causes)
@pytest.mark.parametrize("seed", [3, 5, 6, 7, 10, 11])  # of these another part brings f3 about
def test_what_exposed_parts_showed_is_believed_exactly(causes: Causes, seed: int) -> None:
    model = random_model(seed, causes, faults=4, checks=3)
    settled = {"f0": False, "f3": True}
    observed = {model.checks[0].code: model.checks[0].outcomes[-1].code}
    known = known_model(model, settled)
    assert known is not None
    belief = believe(known, {**observed, **exposed(model, settled)})
    assert belief.present == pytest.approx(by_sets(model, observed, settled), abs=1e-9)


def by_sets(
    model: FaultModel, observed: dict[str, str], settled: dict[str, bool]
) -> dict[str, float]:
    """Return P(present) by going through all sets of faults that agree with what was exposed."""
    found, total = dict.fromkeys((one.code for one in model.faults), 0.0), 0.0
    for weight, there, roots in sets_of(model):
        is_one = model.causes is Causes.ONE
        agrees = all((code in there) is was_there for code, was_there in settled.items())
        # The complaint stayed: the root is another part, or another part is bad as well.
        others = (roots if is_one else there) - settled.keys()
        if agrees and (others or (is_one and not there)):
            row = outcome_row(model.checks[0], there)
            if is_one and not there:
                row = unlisted_row(model.checks[0])
            p = weight * row[model.checks[0].place(observed[model.checks[0].code])]
            total += p
            for code in there:
                found[code] += p
    return {code: p / total for code, p in found.items()}


def test_of_a_cause_that_is_not_listed_exposing_parts_takes_nothing_away() -> None:
    known = known_model(a_model(), {"fan": False, "hose": False})
    assert known is not None
    belief = believe(known, exposed(a_model(), {"fan": False, "hose": False}))
    assert belief.unlisted == pytest.approx(0.05 / (0.05 + 0.2 + 0.05))


@pytest.mark.parametrize("causes", Causes)
def test_when_every_part_is_done_with_the_specialist_takes_over(causes: Causes) -> None:
    model = a_model(causes=causes, unlisted=0.0)
    settled = dict.fromkeys((one.code for one in model.faults), True)
    act = Technician(model, Way.ADVISED, terms()).next_act(State(settled=settled))
    assert act.kind is Kind.HAND_OVER


def test_without_a_check_that_proves_it_the_part_is_exposed_at_the_price_of_a_look() -> None:
    model = two_faults(a_check("dull", given={"fan": (0.9, 0.1)}))
    done = gone_through(model, Way.ADVISED, a_car("hose", root="hose", dull="no"))
    assert (done.checks, done.found, done.blamed) == ((), ("hose",), ())
    assert done.bill == Bill(minutes=20 + 20 + 60, cents=20_00)


def test_every_way_obeys_what_bars_a_check_and_what_it_waits_for() -> None:
    after = (After(check="leaks", outcomes=("no",), because="Wet."),)
    bars = (Bar(because="It burns.", check="smells", outcomes=("yes",)),)
    waiting = a_check("waits", given={"fan": (0.1, 0.9)}, after=after)
    barred = a_check("barred", given={"fan": (0.1, 0.9)}, bars=bars)
    free = a_check("smells", given={"fan": (0.1, 0.9)})
    model = two_faults(free, barred, waiting, a_check("leaks"), unlisted=0.0)
    car = a_car("hose", root="hose", smells="yes", barred="no", waits="no", leaks="yes")
    assert gone_through(model, Way.PROOF, car).checks == ("smells", "leaks")
    for way in Way:
        assert not {"barred", "waits"} & set(gone_through(model, way, car).checks)


def test_the_textbook_goes_in_the_order_of_the_model_as_long_as_looking_further_pays() -> None:
    dear = {"look": Effort(minutes=300)}
    faults = [a_fault("fan", 0.5, **dear), a_fault("hose", 0.5, **dear)]
    dull = a_check("dull", given={"fan": (0.89, 0.11)})
    service = Specialist(title="Specialist", effort=Effort(cents=2000_00))
    model = a_model(faults, [dull, proving(), proving("leaks", "hose")], specialist=service)
    car = a_car("fan", root="fan", dull="no", spins="yes", leaks="no")
    assert gone_through(model, Way.TEXTBOOK, car).checks == ("dull", "spins")
    assert gone_through(model, Way.ADVISED, car).checks == ("spins",)
