"""Levels and top-ups.

The half quart, half of what is missing, the most at a visit and that brake fluid and coolant are
never topped up: common practice, no source. That ADD to FULL is a pint on many transmission sticks
and a quart on most engine sticks: general maintenance guides, text-seen.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from vehicles.fluids.advice import advise
from vehicles.fluids.levels import Action, Engine, Heat, Level, Look, Maker, Reading, Step
from vehicles.fluids.rows import load
from vehicles.fluids.specifications import Bottle
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.units import Quantity, convert, parse
from vehicles.shop.systems import System

FLUIDS = load()
OIL, ATF = FLUIDS["engine-oil"], FLUIDS["automatic"]
OIL_MAKER = Maker(specification="5W-30 API SN", engine=Engine.OFF, heat=Heat.HOT)
ATF_MAKER = Maker(specification="SP-IV", engine=Engine.RUNNING, heat=Heat.HOT)
RIGHT_OIL, RIGHT_ATF = Bottle(says="SAE 5W-30 API SP"), Bottle(says="ATF SP-IV")
COLD = Maker(heat=Heat.COLD)
PRACTICE = "Common practice, no source; the maker’s book comes first."


def read(level: Level, **fields: Any) -> Reading:
    base = Reading(level=level, engine=Engine.OFF, heat=Heat.HOT, level_ground=True)
    return replace(base, **fields)


def oil(level: Level, *history: str, bottle: Bottle | None = RIGHT_OIL, **fields: Any) -> Step:
    poured = [Quantity(Fraction(one), "qt") for one in history]
    fields = {"minutes_since": 10} | fields if history else fields
    return advise(OIL, read(level, **fields), OIL_MAKER, history=poured, bottle=bottle)


def atf(level: Level, **fields: Any) -> Step:
    reading = read(level, **({"engine": Engine.RUNNING} | fields))
    return advise(ATF, reading, ATF_MAKER, bottle=RIGHT_ATF)


def sentences(step: Step) -> list[str]:
    return [str(one) for one in step.sentences]


def test_nothing_on_the_stick_asks_for_half_a_quart_and_no_more() -> None:
    step = oil(Level.NONE, heat=Heat.COLD)
    assert (step.action, str(step.amount), step.wait_minutes) == (Action.ADD, "1/2 qt", 5)
    assert sentences(step) == [
        "Pour in 1/2 qt, not more.",
        "Wait 5 minutes and read again before the engine is started.",
        PRACTICE,
    ]
    assert not step.may_run
    assert step.cautions == ("hot-fluids", "used-oil")


def test_nothing_on_the_stick_is_a_finding_of_the_catalogue_too() -> None:
    (one,) = oil(Level.NONE, heat=Heat.COLD).findings
    assert (one.system, one.found.criterion, one.found.reason) == (
        System.ENGINE,
        "engine-oil",
        "PP oil-none",
    )
    assert str(one.evidence) == "Engine oil: nothing to be seen, engine off, cold"


def test_once_it_registers_at_most_half_of_what_is_missing_goes_in() -> None:
    assert str(oil(Level.LOW).amount) == "1/2 qt"
    assert str(oil(Level.BETWEEN).amount) == "1/4 qt"
    assert str(oil(Level.BETWEEN, missing=Fraction(1, 4)).amount) == "1/8 qt"
    assert oil(Level.BETWEEN, missing=Fraction(1, 8)).action is Action.DONE


def test_the_marks_of_a_transmission_stick_are_a_pint_apart_not_a_quart() -> None:
    step = atf(Level.LOW)
    assert str(step.amount) == "1/4 qt"
    assert sentences(step)[1] == (
        "Wait 3 minutes, then read again: on level ground, engine running, hot."
    )
    assert str(atf(Level.NONE).amount) == "1/2 qt"


def test_the_maker_s_own_distance_between_the_marks_counts() -> None:
    maker = replace(OIL_MAKER, between=Quantity(Fraction(1), "pt"))
    step = advise(OIL, read(Level.LOW), maker, bottle=RIGHT_OIL)
    assert step.amount == Quantity(Fraction(1, 4), "qt")


# NIST Handbook 44, appendix C, from memory: a US gallon is 231 cubic inches, exactly.
@pytest.mark.parametrize(
    ("typed", "quarts"),
    [("1/2 pt", "1/4"), ("16 fl oz", "1/2"), ("946.352946 mL", "1"), ("3.785411784 L", "4")],
)
def test_volumes_are_turned_into_quarts_exactly(typed: str, quarts: str) -> None:
    one = parse(typed, "qt")
    assert convert(one.value, one.unit, "qt") == Fraction(quarts)


def test_amounts_are_added_up_exactly_whatever_their_unit() -> None:
    poured = [Quantity(Fraction(1), "pt"), Quantity(Fraction("946.352946"), "mL")]
    reading = read(Level.LOW, minutes_since=10)
    maker = replace(OIL_MAKER, capacity=Quantity(Fraction(2), "qt"))
    assert advise(OIL, reading, maker, history=poured, bottle=RIGHT_OIL).action is Action.ADD
    more = [*poured, Quantity(Fraction(1, 1000), "mL")]
    assert advise(OIL, reading, maker, history=more, bottle=RIGHT_OIL).action is Action.STOP


def test_too_much_at_one_visit_stops_and_looks_for_the_leak() -> None:
    step = oil(Level.LOW, "1", "1", "3/4")
    assert step.action is Action.STOP
    assert sentences(step) == [
        "Stop: 2 3/4 qt went in. It goes somewhere; look for the leak.",
        PRACTICE,
    ]
    (one,) = step.findings
    assert one.found.title == "Engine oil: 2 3/4 qt went in and it is still not full"
    assert one.found.deficiency is DeficiencyClass.MAJOR


def test_what_was_poured_in_has_to_settle_first() -> None:
    step = oil(Level.LOW, "1/2", minutes_since=2)
    assert (step.action, step.wait_minutes) == (Action.READ_AGAIN, 3)
    assert sentences(step) == [
        "It has not settled yet.",
        "Wait 3 minutes, then read again: on level ground, engine off, hot.",
    ]
    assert sentences(oil(Level.LOW, "1/2", minutes_since=None)) == [
        "How many minutes ago was the last amount poured in?"
    ]


def test_too_much_is_drained_and_never_run() -> None:
    step = oil(Level.OVER)
    assert (step.action, step.may_run, step.amount) == (Action.DRAIN, False, None)
    assert sentences(step) == [
        "Drain or draw it off down to the full mark.",
        "The engine is not run with it over its mark.",
    ]
    assert [one.found.title for one in step.findings] == [
        "Engine oil over its mark: overfilled, or fuel or coolant is in it"
    ]
    assert oil(Level.OVER, "1/2").findings == ()
    assert not atf(Level.OVER).may_run


def test_what_nobody_asked_is_asked_and_not_judged() -> None:
    step = advise(OIL, Reading(level=Level.NONE), Maker(), bottle=RIGHT_OIL)
    assert step.action is Action.ASK
    assert sentences(step) == [
        "Ask the maker’s book: is it read with the engine running or off?",
        "Ask the maker’s book: is it read cold or hot?",
        "Was the engine running or off when it was read?",
        "Was it cold or hot when it was read?",
        "Did the car stand on level ground?",
    ]
    assert step.amount is None


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"engine": Engine.RUNNING}, "It was read with the engine running, so it does not count."),
        ({"heat": Heat.COLD}, "It was read cold, so it does not count."),
        ({"level_ground": False}, "It was not read on level ground, so it does not count."),
    ],
)
def test_a_reading_not_as_the_maker_says_is_taken_again(
    fields: dict[str, Any], sentence: str
) -> None:
    step = oil(Level.LOW, **fields)
    assert step.action is Action.READ_AGAIN
    assert sentences(step) == [sentence, "Read again: on level ground, engine off, hot."]


def test_a_maker_that_takes_either_heat_lets_both_count() -> None:
    maker = replace(OIL_MAKER, heat=Heat.EITHER)
    for heat in (Heat.COLD, Heat.HOT):
        step = advise(OIL, read(Level.LOW, heat=heat), maker, bottle=RIGHT_OIL)
        assert step.action is Action.ADD


def test_a_transmission_without_a_stick_is_left_to_the_book() -> None:
    step = advise(ATF, read(Level.LOW), replace(ATF_MAKER, stick=False), bottle=RIGHT_ATF)
    assert (step.action, step.amount) == (Action.BOOK, None)


@pytest.mark.parametrize("code", ["brake", "clutch", "coolant"])
@pytest.mark.parametrize("level", [Level.LOW, Level.NONE])
def test_low_brake_fluid_clutch_fluid_or_coolant_is_a_finding(code: str, level: Level) -> None:
    fluid = FLUIDS[code]
    step = advise(fluid, read(level, heat=Heat.COLD), COLD, bottle=Bottle(says="DOT 3"))
    assert (step.action, step.amount) == (Action.FINDING, None)
    assert sentences(step) == [f"{fluid.title} is never topped up: low means wear or a leak."]
    assert [one.found for one in step.findings] == [fluid.findings[level.value]]


@pytest.mark.parametrize("fluid", [one for one in FLUIDS.values() if one.code != "washer"])
@pytest.mark.parametrize("look", [Look.MILKY, Look.BURNT, Look.METAL])
def test_a_fluid_that_looks_wrong_is_a_finding_and_nothing_goes_in(fluid: Any, look: Look) -> None:
    step = advise(fluid, Reading(level=Level.FULL, look=look), Maker())
    assert (step.action, step.amount) == (Action.FINDING, None)
    assert [one.found for one in step.findings] == [fluid.findings[look.value]]
    assert sentences(step) == [
        f"{fluid.title}: {look.label}. Nothing is poured in; find out why first."
    ]


def test_milky_engine_oil_is_not_run_and_dirty_fluid_hides_no_empty_tank() -> None:
    assert not oil(Level.FULL, look=Look.MILKY).may_run
    step = advise(FLUIDS["brake"], Reading(level=Level.NONE, look=Look.BURNT), Maker())
    assert [one.found.reason for one in step.findings] == ["1.8 a", "1.1.10 d.3"]


def test_washer_fluid_is_filled_without_questions() -> None:
    step = advise(FLUIDS["washer"], Reading(level=Level.LOW), Maker())
    assert (step.action, sentences(step)) == (Action.FILL, ["Fill it to the full mark."])


def test_a_wrong_bottle_is_refused_and_an_unknown_one_asked() -> None:
    wrong = oil(Level.LOW, bottle=Bottle(says="10W-40 API SP"))
    assert (wrong.action, wrong.amount) == (Action.REFUSE, None)
    assert sentences(wrong) == ["The maker wants 5W-30; the bottle is 10W-40."]
    unknown = oil(Level.LOW, bottle=None)
    assert (unknown.action, unknown.amount) == (Action.ASK, None)
    assert sentences(unknown) == ["What the bottle says is not noted: read its label."]


@pytest.mark.parametrize("amount", [Quantity(Fraction(0), "qt"), Quantity(Fraction(-1), "pt")])
def test_no_amount_can_be_nothing_or_less(amount: Quantity) -> None:
    with pytest.raises(ValueError, match="is not an amount that can be poured in"):
        advise(OIL, read(Level.LOW), OIL_MAKER, history=[amount])


def test_an_amount_that_is_no_volume_and_a_share_over_one_are_refused() -> None:
    with pytest.raises(ValueError, match="A number in psi can't be turned into quarts"):
        advise(OIL, read(Level.LOW), OIL_MAKER, history=[Quantity(Fraction(1), "psi")])
    with pytest.raises(ValueError, match="is a share from 0 to 1"):
        oil(Level.BETWEEN, missing=Fraction(3, 2))
