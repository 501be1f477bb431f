from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from tests.vehicles.diagnosis.oracle import OUTCOMES, Tree, tiny_model
from vehicles.diagnosis.deciding import Decider, Terms
from vehicles.diagnosis.fault_model import After, Effort, FaultModel, Specialist
from vehicles.diagnosis.inference import Reasoner
from vehicles.diagnosis.ranking import Weighing
from vehicles.diagnosis.sequence import Action, best_sequence
from vehicles.diagnosis.setups import load

if TYPE_CHECKING:
    from collections.abc import Sequence


def weighing(model: FaultModel, seen: dict[str, str] | None = None, **fields: Any) -> Weighing:
    values: dict[str, Any] = {"rate": 60_00, "setups": load()}
    return Weighing(Decider(Reasoner(model), Terms(**(values | fields))), seen or {})


def costly(checks: Sequence[Any], **fields: Any) -> FaultModel:
    """Return four faults alike, each an hour to look at; a check that names one is worth much."""
    faults = [a_fault(f"f{i}", 0.25, look=Effort(minutes=60)) for i in range(4)]
    service = Specialist(title="Specialist", effort=Effort(cents=2000_00))
    return a_model(faults, list(checks), specialist=service, **fields)


def naming(code: str, *faults: str, **fields: Any) -> Any:
    values = {"sound": (0.995, 0.005), "effort": Effort(minutes=5)} | fields
    return a_check(code, given=dict.fromkeys(faults, (0.01, 0.99)), **values)


def test_checks_stand_by_what_they_save() -> None:
    found = weighing(costly([naming("one", "f0"), naming("two", "f0", "f1"), a_check("none")]))
    assert found.ranked() == ["two", "one", "none"]
    savings = [found.saving(code).total for code in found.ranked()]
    assert savings == sorted(savings, reverse=True)
    assert found.saving("none").total == pytest.approx(-10_00)


def test_what_is_saved_is_minutes_and_cents_together() -> None:
    found = weighing(costly([naming("two", "f0", "f1", effort=Effort(minutes=5, cents=3_00))]))
    saving = found.saving("two")
    assert saving.total == pytest.approx(saving.minutes * 100 + saving.cents)
    assert saving.minutes > 0
    assert saving.cents == pytest.approx(-3_00, abs=1e-6)


def test_equal_checks_stand_as_in_the_file_and_the_more_telling_first() -> None:
    dull = {"sound": (0.9, 0.1), "given": {}}
    same = weighing(costly([a_check("b", **dull), a_check("a", **dull)]))
    assert same.ranked() == ["b", "a"]
    faults = [a_fault("likely", 0.8), a_fault("rare", 0.2)]
    telling = a_check("t", given={"likely": (0.88, 0.12)})
    found = weighing(a_model(faults, [a_check("b", **dull), telling]))
    assert found.saving("b").total == pytest.approx(found.saving("t").total)
    assert found.ranked() == ["t", "b"]


@pytest.mark.parametrize("seed", range(4))
def test_two_steps_are_those_that_one_finds_by_hand(seed: int) -> None:
    """Every second check after every outcome, from plain sums over one cause at a time."""
    model = tiny_model(seed, faults=4, checks=4)
    found = weighing(model, rate=0, margin=0)
    found.look_ahead(None)
    tree = Tree(model)

    def stop(seen: tuple[tuple[str, str], ...]) -> float:
        joint = tree.joint(seen, frozenset())
        whole = sum(joint.values())
        actions = [
            Action(
                code=one.code,
                p=joint[one.code] / whole,
                look=one.look.cents,
                repair=one.repair.cents,
            )
            for one in model.faults
        ]
        return whole * best_sequence(actions, specialist=model.specialist.effort.cents).cost

    def second(first: tuple[str, str]) -> float:
        whole = sum(tree.joint((first,), frozenset()).values())
        ways = [stop((first,))]
        for check in model.checks:
            if check.code != first[0]:
                after = sum(stop((first, (check.code, outcome))) for outcome in OUTCOMES)
                ways.append(whole * check.effort.cents + after)
        return min(ways)

    for check in model.checks:
        by_hand = check.effort.cents + sum(second((check.code, one)) for one in OUTCOMES)
        assert stop(()) - found.saving(check.code).total == pytest.approx(by_hand)


def test_a_beam_looks_two_steps_ahead_only_from_the_best() -> None:
    model = tiny_model(3, faults=4, checks=4)
    one, two = weighing(model, rate=0, margin=0), weighing(model, rate=0, margin=0)
    two.look_ahead(2)
    assert sorted(two.followed) == sorted(one.ranked()[:2])
    assert all(two.saving(c).total >= one.saving(c).total - 1e-6 for c in two.codes)


def test_after_each_outcome_stands_the_check_to_do_then() -> None:
    found = weighing(costly([naming("half", "f0", "f1"), naming("f0", "f0"), naming("f2", "f2")]))
    assert found.follow("half", found.codes).then == ("f2", "f0")
    assert found.follow("half", []).then == ("", "")


def test_a_setup_is_paid_once_for_all_that_share_it() -> None:
    """Charging takes an hour: neither check pays it alone, both together do."""
    setup = {"setups": ("charged",)}
    model = costly([naming("first", "f0", "f1", **setup), naming("second", "f0", "f2", **setup)])
    found = weighing(model)
    alone = [found.saving(code).total for code in found.ranked()]
    (opened, *_) = found.opened()
    assert (opened.check, opened.opens, opened.setup) == ("first", ("second",), "charged")
    assert opened.saving.total > max(alone)
    assert found.best(found.opened())[0] == "first"
    assert weighing(model, done=frozenset({"charged"})).opened()[:0] == ()


def test_opening_pays_where_no_single_check_does() -> None:
    setup = {"setups": ("charged",), "effort": Effort(minutes=4)}
    model = costly([naming("first", "f0", "f1", **setup), naming("second", "f0", "f2", **setup)])
    found = weighing(model, margin=10_00)
    singles, opened = found.ranked(), found.opened()
    assert all(found.saving(code).total <= 10_00 for code in singles)
    assert opened[0].saving.total > 10_00
    assert found.best(opened) == ("first", opened[0].saving)


def test_a_check_that_another_waits_for_is_weighed_with_it() -> None:
    after = After(check="battery", outcomes=("no",), because="Codes mean nothing on a flat one.")
    battery = a_check("battery", given={}, sound=(0.95, 0.05), effort=Effort(minutes=3))
    model = costly([battery, naming("codes", "f0", "f1", after=(after,))])
    found = weighing(model)
    assert found.saving("battery").total < 0
    (opened,) = found.opened()
    assert (opened.check, opened.opens, opened.setup) == ("battery", ("codes",), "")
    assert found.best((opened,)) == ("battery", opened.saving)
    assert found.ranked(can_be_done=False) == ["codes"]


def test_nothing_that_saves_a_dollar_or_less_is_done() -> None:
    found = weighing(costly([naming("one", "f0")]))
    saves = found.saving("one").total
    assert saves > 100
    assert weighing(costly([naming("one", "f0")]), margin=int(saves)).best(())[0] == "one"
    assert weighing(costly([naming("one", "f0")]), margin=int(saves) + 1).best(()) == ("", None)


def test_with_no_check_left_there_is_no_best_one() -> None:
    found = weighing(costly([naming("one", "f0")]), {"one": "no"})
    assert (found.ranked(), found.opened(), found.best(())) == ([], (), ("", None))


def excess(seeds: range, steps: int) -> list[float]:
    found = []
    for seed in seeds:
        tree = Tree(tiny_model(seed))
        found.append(tree.followed(steps) / tree.optimum() - 1)
    return found


@pytest.mark.parametrize("steps", [1, 2])
def test_following_the_advice_costs_hardly_more_than_the_best_tree_of_decisions(
    steps: int,
) -> None:
    tree = Tree(tiny_model(1, faults=4, checks=4))
    assert 1 - 1e-9 <= tree.followed(steps) / tree.optimum() < 1.03


@pytest.mark.slow
def test_two_steps_are_no_worse_than_one_on_average_of_twenty_problems() -> None:
    """Five faults and six imperfect checks; the notes have 1.3 % on average and 6.4 % at worst.

    Measured on forty: one step 0.6 % too dear (1.6 % at worst), two steps 0.4 % (1.5 %), though
    not in each: eight of the forty cost a little more.
    """
    one, two = excess(range(20), 1), excess(range(20), 2)
    assert min(one + two) > -1e-9
    assert np.mean(two) <= np.mean(one) < 0.013
    assert max(one + two) < 0.064
