"""What follows from a diagnosis as it stands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.vehicles.diagnosis.models import a_check, a_model
from tests.vehicles.diagnosis.rows import HOT
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.inference import believe
from vehicles.diagnosis.looking import Contradicted, Looking, against, looking
from vehicles.diagnosis.modelfile import read
from vehicles.diagnosis.values import Session, Step


def session(*steps: tuple[str, str], text: str = HOT) -> Session:
    seen = tuple(Step(check=check, outcome=outcome) for check, outcome in steps)
    return Session(model=read(text), steps=seen, rate=3_400)


def found(*steps: tuple[str, str]) -> Looking:
    one = looking(session(*steps))
    assert isinstance(one, Looking)
    return one


def test_the_bars_are_the_belief_the_likeliest_first_and_not_listed_last() -> None:
    one = found(("when", "standing"))
    belief = believe(read(HOT), {"when": "standing"})
    assert [bar.code for bar in one.bars] == ["fan", "hose", "gasket", ""]
    assert [bar.now for bar in one.bars[:3]] == [
        belief.present[code] for code in ("fan", "hose", "gasket")
    ]
    assert one.bars[-1].now == belief.unlisted
    assert one.bars[0].before == pytest.approx(0.5)
    assert one.leading.code == "fan"


def test_faults_that_never_mattered_are_counted_and_not_drawn() -> None:
    model = a_model()
    rare = replace(model.faults[0], code="rare", title="Rare", weight=0.0)
    wide = replace(model, faults=(*model.faults, rare))
    one = looking(Session(model=wide, rate=3_400))
    assert isinstance(one, Looking)
    assert (one.hidden, "rare" in {bar.code for bar in one.bars}) == (1, False)


def test_the_check_that_saves_most_comes_next() -> None:
    one = found()
    assert one.upcoming == one.advice.best != ""
    assert one.suspect == ""


def test_once_searching_is_over_the_suspect_is_to_be_proved() -> None:
    proof = a_check("spin", given={"fan": (0.05, 0.95)}, names={"fan": ("yes",)})
    dear = replace(proof, effort=replace(proof.effort, minutes=500))
    model = a_model(checks=[dear])
    one = looking(Session(model=model, rate=3_400))
    assert isinstance(one, Looking)
    assert one.advice.best == ""
    assert (one.suspect, one.upcoming) == (
        one.advice.repair_order[0],
        "spin" if one.advice.repair_order[0] == "fan" else "",
    )


def test_what_is_confirmed_is_offered_and_no_suspect_any_more() -> None:
    one = found(("when", "standing"), ("level", "normal"), ("fan-runs", "stands"))
    assert [judged.fault.code for judged in one.offered] == ["fan"]
    assert one.suspect == ""


def test_what_can_not_all_be_is_named() -> None:
    sure = HOT.replace("[0.95, 0.05]", "[1.0, 0.0]").replace("[0.99, 0.01]", "[1.0, 0.0]")
    one = looking(session(("level", "low"), ("fan-runs", "stands"), text=sure))
    assert isinstance(one, Contradicted)
    assert [step.check for step in one.steps] == ["level", "fan-runs"]


@pytest.mark.parametrize(
    ("steps", "check", "said"),
    [
        ([], "gas", ["First Coolant level, cold: The dye needs coolant."]),
        ([("level", "low")], "fan-runs", ["Without coolant the engine is not run."]),
        ([("level", "low")], "gas", ["The dye needs coolant."]),
        ([("level", "normal")], "gas", []),
    ],
)
def test_what_stands_against_a_check(
    steps: list[tuple[str, str]], check: str, said: list[str]
) -> None:
    one = session(*steps)
    assert against(one, one.model.check(check)) == said


def test_several_faults_leave_room_for_none_of_them() -> None:
    model = replace(a_model(), causes=Causes.SEVERAL, unlisted=0.0)
    one = looking(Session(model=model, rate=3_400))
    assert isinstance(one, Looking)
    assert one.bars[-1].title == "None of these"


def test_after_a_repair_in_vain_the_next_fault_is_looked_for() -> None:
    model = replace(read(HOT), causes=Causes.SEVERAL, unlisted=0.0)
    seen = tuple(
        Step(check=check, outcome=outcome)
        for check, outcome in (("when", "standing"), ("fan-runs", "stands"))
    )
    before = looking(Session(model=model, steps=seen, rate=3_400))
    after = looking(Session(model=model, steps=seen, rate=3_400, settled=frozenset({"fan"})))
    assert isinstance(before, Looking)
    assert isinstance(after, Looking)
    assert [one.fault.code for one in before.offered] == ["fan"]
    assert after.upcoming == "level"
    assert after.suspect != "fan"
