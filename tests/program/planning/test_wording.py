from __future__ import annotations

from dataclasses import replace

from program.planning.demand import demands
from program.planning.hands import HOURS_OF
from program.planning.plan import Addition, Plan, Stage, StageName
from program.planning.problem import Case, Item, PartNeed, PlanInput
from program.planning.wording import (
    amount_of,
    hours,
    kind_of,
    lacking,
    listed,
    more,
    never_fits,
    no_amount,
    no_other,
    no_part,
    proof,
    swapped,
    would_do,
)
from shared.say import say
from tests.program.planning.programs import week

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


def test_amounts_and_kinds_are_named_in_words() -> None:
    assert [
        str(amount_of(name, 2)) for name in ("lift_days", f"{HOURS_OF}Sten Voss", "ramp_days")
    ] == [
        "2 days on a lift",
        "0:02 hours of Sten Voss",
        "2 of ramp days",
    ]
    assert [str(kind_of(name)) for name in ("minutes", "lift_days", "ramp_days")] == [
        "shop time",
        "days on a lift",
        "ramp days",
    ]


def test_what_was_not_proven_is_not_said_as_if_it_were() -> None:
    thing = say("One radiator")
    assert str(would_do(thing, least=False)) == "One radiator would bring it in, and less may do."
    assert str(no_amount(say("money"), proven=False)) == (
        "No amount of money alone was found to bring it in."
    )
    assert str(no_part(proven=False)) == "No single part given was found to bring it in."


def test_a_case_that_never_fits_for_another_reason_than_days_is_told_so() -> None:
    rows = PlanInput(weeks=(week(minutes=60),), cases=(Case(id="a", need_weight=1),))
    assert [str(reason) for reason in never_fits(rows, demands(rows)[0], proven=True)] == [
        "can't be started and finished within these weeks, whatever is added"
    ]


def test_a_search_that_ran_out_is_not_told_as_a_proof() -> None:
    rows = PlanInput(weeks=(week(minutes=60),), cases=(Case(id="a", need_weight=1),))
    assert [str(reason) for reason in never_fits(rows, demands(rows)[0], proven=False)] == [
        "was not found to fit within these weeks with the effort spent; it may fit"
    ]
    addition = Addition(cents=140_00, resources={})
    assert str(lacking(addition, {}, least=False)) == "lacks $140.00, or less"
    assert str(lacking(addition, {})) == "lacks $140.00"


def test_days_away_from_the_shop_are_told_with_those_in_a_bay() -> None:
    item = Item(id="i", case_id="a", tier=0, minutes=420, outside_days=5)
    case = Case(id="a", need_weight=1)
    rows = PlanInput(weeks=(week(minutes=900, bay_days=5),), cases=(case,), items=(item,))
    assert [str(reason) for reason in never_fits(rows, demands(rows)[0], proven=True)] == [
        "needs 6 days in a bay and away, and these weeks have 5"
    ]


def test_all_other_things_are_told_in_one_sentence_as_far_as_they_are_proven() -> None:
    assert [str(no_other(among=a, proven=p)) for a in (True, False) for p in (True, False)] == [
        "No other single thing would bring it in.",
        "No other single thing was found to bring it in with the effort spent.",
        "No single thing alone would bring it in.",
        "No single thing alone was found to bring it in with the effort spent.",
    ]
