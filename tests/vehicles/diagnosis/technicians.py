"""Cars and small models for tests of how technicians work."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.deciding import Terms
from vehicles.diagnosis.setups import load as load_setups
from vehicles.diagnosis.simulation import Car, Run, drawn_car, run
from vehicles.diagnosis.textbook import Technician, Way

if TYPE_CHECKING:
    from collections.abc import Callable

    from vehicles.diagnosis.fault_model import Check, FaultModel

#: Of this seed nothing was looked at while the models and the advice were made.
SEED: Final = 20_261_125
CARS: Final = 30
RATE: Final = 34_00


def terms() -> Terms:
    return Terms(rate=RATE, setups=load_setups())


def any_car(car: Car) -> bool:
    return True


def some_cars(
    model: FaultModel, fits: Callable[[Car], bool] = any_car, *, wanted: int = CARS
) -> list[Car]:
    found: list[Car] = []
    number = 0
    while len(found) < wanted:
        car = drawn_car(model, SEED, number)
        found += [car] if fits(car) else []
        number += 1
    return found


def a_car(*present: str, root: str = "", **outcomes: str) -> Car:
    seen = {code.replace("_", "-"): outcome for code, outcome in outcomes.items()}
    return Car(present=frozenset(present), root=root, outcomes=seen)


def gone_through(model: FaultModel, way: Way, car: Car) -> Run:
    return run(Technician(model, way, terms()), car)


def proving(code: str = "spins", fault: str = "fan", **fields: Any) -> Check:
    values = {"sound": (0.99, 0.01), "given": {fault: (0.01, 0.99)}, "names": {fault: ("yes",)}}
    return a_check(code, **(values | fields))


def two_faults(*checks: Check, **fields: Any) -> FaultModel:
    return a_model([a_fault("fan", 0.5), a_fault("hose", 0.5)], checks, **fields)
