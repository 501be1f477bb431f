from __future__ import annotations

from dataclasses import replace

from program.planning.plan import Addition, Plan, Stage, StageName
from program.planning.problem import PartNeed
from program.planning.wording import hours, lacking, listed, more, proof, swapped
from shared.say import say

EMPTY = Plan(cases=(), stages=(Stage(name=StageName.NEED, value=61, bound=61, proven=True),))


def test_a_proven_plan_says_so() -> None:
    assert str(proof(EMPTY)) == "Proven: no other choice brings more than 61 home."


def test_an_unproven_plan_says_how_much_could_be_missing() -> None:
    stage = replace(EMPTY.stages[0], bound=64, proven=False)
    plan = replace(EMPTY, stages=(stage,))
    assert str(proof(plan)) == "Not proven: 3 points more of need at most could be reached."


def test_everything_that_is_lacking_stands_in_one_sentence() -> None:
    addition = Addition(
        cents=140_00,
        resources={(0, "minutes"): 60, (1, "minutes"): 30, (0, "bay_days"): 1, (0, "lift"): 2},
        need_ids=("n",),
    )
    assert str(lacking(addition, {"n": PartNeed(id="n", label="radiator")})) == (
        "lacks one radiator, $140.00, one day in a bay, 2 of lift and 1:30 hours of shop time"
    )


def test_a_swap_without_loss_is_called_a_tie() -> None:
    assert str(swapped(("a",), 0)) == "Taking it in would leave out a: a tie."
    assert str(swapped((), 0)) == "Taking it in would leave out nobody."
    assert str(swapped(("a",), 1)) == "Taking it in would leave out a: 1 point less of need."


def test_hours_and_lists_are_written_as_people_write_them() -> None:
    assert (hours(0), hours(605)) == ("0:00", "10:05")
    assert str(listed([say("a"), say("b"), say("c")])) == "a, b and c"
    assert str(more(1)) == "1 point more of need"
