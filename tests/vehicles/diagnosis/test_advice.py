from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.advice import Advice, Option, next_checks
from vehicles.diagnosis.deciding import Terms
from vehicles.diagnosis.fault_model import After, Bar, Causes, Damage, Effort, Specialist
from vehicles.diagnosis.inference import Contradiction, Reasoner
from vehicles.diagnosis.setups import load

if TYPE_CHECKING:
    from vehicles.diagnosis.fault_model import Check, FaultModel

SERVICE = Specialist(title="Cooling specialist", effort=Effort(minutes=30, cents=1500_00))


def hot_engine(*checks: Check, **fields: Any) -> FaultModel:
    """Return three faults of an hour's look each, and a cheap check that proves each of two."""
    faults = [a_fault(code, p, look=Effort(minutes=60)) for code, p in FAULTS.items()]
    own = (proving("leak", "hose"), proving("spins", "fan"))
    return a_model(faults, (*own, *checks), specialist=SERVICE, **fields)


FAULTS = {"hose": 0.4, "fan": 0.35, "pump": 0.25}


def proving(code: str, fault: str, **fields: Any) -> Check:
    values: dict[str, Any] = {
        "sound": (0.995, 0.005),
        "given": {fault: (0.02, 0.98)},
        "names": {fault: ("yes",)},
        "effort": Effort(minutes=5),
    }
    return a_check(code, **(values | fields))


def advice(model: FaultModel, seen: dict[str, str] | None = None, **fields: Any) -> Advice:
    ahead = {name: fields.pop(name) for name in ("steps", "beam") if name in fields}
    values: dict[str, Any] = {"rate": 60_00, "setups": load()}
    return next_checks(Reasoner(model), seen or {}, Terms(**(values | fields)), **ahead)


def option(found: Advice, code: str) -> Option:
    return next(one for one in found.options if one.check.code == code)


def test_the_best_check_stands_first_with_what_each_outcome_leads_to() -> None:
    found = advice(hot_engine())
    assert (found.best, found.options[0].check.code) == ("spins", "spins")
    no, yes = found.options[0].outlooks
    assert yes.probability == pytest.approx(0.35 * 0.98 + 0.65 * 0.005)
    assert yes.leading[0][0] == "fan"
    assert yes.leading[0][1] == pytest.approx(0.35 * 0.98 / yes.probability)
    assert (yes.conclude, str(yes.then)) == ("fan", "Conclude: Fan.")
    assert (no.next_check, str(no.then)) == ("leak", "Next: Leak.")
    assert [code for code, _ in no.leading] == ["hose", "pump", "fan"]


def test_stopping_stands_beside_looking_further_in_dollars_and_minutes() -> None:
    """By hand: looks of 60 minutes at 1, 0.6 and 0.25, repair of 60 minutes and $20."""
    found = advice(hot_engine())
    assert found.now == Effort(minutes=round(60 + 0.6 * 60 + 0.25 * 60 + 60), cents=20_00)
    assert found.further is not None
    minutes = found.further.minutes
    assert [str(one) for one in found.sentences] == [
        "Stop and repair now: $20.00 and 171 minutes are to be expected.",
        f"Look further, first Spins: $20.00 and {minutes} minutes are to be expected.",
        f"That saves ${171 - minutes}.00 on average.",
    ]
    assert found.repair_order == ("hose", "fan", "pump")


def test_when_nothing_pays_it_says_so_and_what_to_do() -> None:
    found = advice(hot_engine(), {"leak": "yes"})
    assert (found.best, found.stop, found.further) == ("", True, None)
    assert [str(one) for one in found.sentences][1:] == [
        "No check left lowers what is to be expected by more than $1.00.",
        "Look at this part and repair it: Hose.",
    ]


def test_a_look_at_the_first_part_is_recorded_by_the_checks_that_prove_it() -> None:
    found = advice(hot_engine(proving("drip", "hose")))
    assert (found.repair_order[0], sorted(found.proving)) == ("hose", ["drip", "leak"])
    assert advice(hot_engine(), {"leak": "yes"}).proving == ()


def test_what_costs_more_than_the_specialist_goes_to_the_specialist() -> None:
    faults = [a_fault("gasket", 1.0, repair=Effort(minutes=1800, cents=900_00))]
    found = advice(a_model(faults, [proving("seen", "gasket")], specialist=SERVICE))
    assert (found.repair_order, str(found.sentences[-1])) == ((), "Hand over: Cooling specialist.")
    assert found.now == SERVICE.effort
    assert [str(one.then) for one in found.options[0].outlooks] == [
        "Hand over: Cooling specialist.",
        "Conclude: Gasket.",
    ]


def test_a_check_that_changes_no_decision_is_never_proposed_however_much_it_tells() -> None:
    """As in the worked example used_car_test, here with repairs: the order stays the same."""
    faults = [a_fault("hose", 0.7), a_fault("fan", 0.3)]
    check = a_check(sound=(0.5, 0.5), given={"hose": (0.35, 0.65), "fan": (0.5, 0.5)})
    found = advice(a_model(faults, [check], specialist=SERVICE))
    assert option(found, "level").bits > 0.01
    assert (option(found, "level").worth, found.stop) == (0, True)


def test_an_option_shows_its_effort_its_setups_and_who_shares_them() -> None:
    setups = {"setups": ("raised", "warm")}
    model = hot_engine(proving("under", "pump", **setups), proving("drip", "pump", **setups))
    under = option(advice(model, done=frozenset({"warm"})), "under")
    assert under.setups == (("raised", ("drip",)),)
    assert under.effort == Effort(minutes=5 + load()["raised"].minutes)
    assert under.saving.total == pytest.approx(under.worth - under.effort.minutes * 100, abs=1)


def test_damage_is_part_of_what_a_check_costs() -> None:
    damages = (Damage(fault="pump", cents=400_00, because="It seizes."),)
    safe = option(advice(hot_engine(proving("run", "pump"))), "run")
    harmful = option(advice(hot_engine(proving("run", "pump", damages=damages))), "run")
    assert (safe.damage, harmful.damage) == (0, 100_00)
    assert harmful.saving.total == pytest.approx(safe.saving.total - 100_00)
    assert harmful.saving.cents == pytest.approx(safe.saving.cents - 100_00)


def test_what_is_barred_comes_last_and_says_why() -> None:
    bar = Bar(because="The pedal sinks.", check="leak", outcomes=("no",))
    found = advice(hot_engine(proving("road", "pump", bars=(bar,))), {"leak": "no"})
    road = found.options[-1]
    assert (road.check.code, road.is_open) == ("road", False)
    assert [str(one) for one in road.sentences] == ["Not now: The pedal sinks."]
    assert found.best == "spins"


def test_what_waits_for_another_check_names_it() -> None:
    after = After(check="leak", outcomes=("no",), because="Without coolant nothing runs.")
    road = advice(hot_engine(proving("road", "pump", after=(after,)))).options[-1]
    assert road.first == (after,)
    assert [str(one) for one in road.sentences] == ["First Leak: Without coolant nothing runs."]


def test_a_danger_that_an_outcome_brings_keeps_the_check_out_of_what_comes_then() -> None:
    """Fan seen not to run bars running the engine, also in what would be done after it."""
    bar = Bar(because="It overheats.", check="leak", outcomes=("no",))
    model = hot_engine(proving("spins-fast", "fan", bars=(bar,), effort=Effort(minutes=1)))
    found = advice(model, skipped=frozenset({"spins"}), steps=2)
    assert option(found, "leak").outlooks[0].next_check == ""


def test_a_check_that_is_left_out_is_no_outcome() -> None:
    found = advice(hot_engine(), skipped=frozenset({"leak"}))
    assert [one.check.code for one in found.options] == ["spins"]
    assert found.now == advice(hot_engine()).now


def test_only_the_first_few_are_worked_out_one_step_ahead_and_all_of_them_with_two() -> None:
    model = hot_engine(*(proving(f"c{i}", "pump", effort=Effort(minutes=10 + i)) for i in range(4)))
    one = [each.outlooks[0].then is not None for each in advice(model).options]
    two = [each.outlooks[0].then is not None for each in advice(model, steps=2).options]
    assert one == [True, True, True, False, False, False]
    assert two == [True] * 6


def test_nothing_depends_on_the_order_of_what_was_seen() -> None:
    model = hot_engine(proving("p", "pump"), proving("q", "pump"))
    seen = {"leak": "no", "q": "no"}
    assert advice(model, seen) == advice(model, dict(reversed(seen.items())))


def test_with_several_faults_both_are_looked_for() -> None:
    model = hot_engine(causes=Causes.SEVERAL)
    found = advice(model, {"leak": "yes", "spins": "yes"})
    assert found.repair_order == ("hose", "fan", "pump")[: len(found.repair_order)]
    assert found.repair_order[:2] == ("hose", "fan")


def test_what_cannot_be_is_refused_with_the_contradiction() -> None:
    sure = a_check("never", sound=(1.0, 0.0), given={})
    with pytest.raises(Contradiction, match="shows “Never: Yes”"):
        advice(hot_engine(sure), {"never": "yes"})
