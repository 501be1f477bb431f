"""Whatever is read, poured and said: never too much at once, nor at one visit, nor the wrong fluid.

All of these limits are common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import count
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from vehicles.fluids.advice import advise
from vehicles.fluids.levels import Action, Engine, Heat, Level, Look, Maker, Reading
from vehicles.fluids.rows import Refill, load
from vehicles.fluids.specifications import Answer, Bottle, Kind, compare
from vehicles.inspection.units import Quantity, convert

FLUIDS = load()
VOLUMES = st.builds(
    Quantity,
    st.fractions(min_value=Fraction(1, 16), max_value=4, max_denominator=16),
    st.sampled_from(["qt", "pt", "L"]),
)
MAKERS = st.builds(
    Maker,
    specification=st.sampled_from(["5W-30 API SN", "SP-IV", "DOT 3", ""]),
    engine=st.none() | st.sampled_from(Engine),
    heat=st.none() | st.sampled_from(Heat),
    stick=st.booleans(),
    between=st.none() | VOLUMES,
    capacity=st.none() | VOLUMES,
)
READINGS = st.builds(
    Reading,
    level=st.sampled_from(Level),
    look=st.sampled_from([Look.CLEAN, *Look]),
    engine=st.none() | st.sampled_from(Engine),
    heat=st.none() | st.sampled_from(Heat),
    level_ground=st.none() | st.just(value=True),
    missing=st.none() | st.fractions(0, 1, max_denominator=16),
    minutes_since=st.none() | st.integers(0, 30),
)
BOTTLES = st.sampled_from(["5W-30 API SP", "SP-IV", "DOT 3", "10W-40"]).map(
    lambda text: Bottle(says=text, opened=False)
)


@given(st.sampled_from(list(FLUIDS.values())), READINGS, MAKERS, BOTTLES, st.lists(VOLUMES))
def test_no_step_is_over_half_a_quart_nor_past_the_most_of_a_visit(
    fluid: Any, reading: Reading, maker: Maker, bottle: Bottle, history: list[Quantity]
) -> None:
    step = advise(fluid, reading, maker, history=history, bottle=bottle)
    poured = sum((convert(one.value, one.unit, "qt") for one in history), Fraction(0))
    assert (step.amount is not None) is (step.action is Action.ADD)
    if step.amount:
        most = fluid.most
        if maker.capacity:
            most = min(most, convert(maker.capacity.value, maker.capacity.unit, "qt"))
        assert 0 < step.amount.value <= Fraction(1, 2)
        assert poured + step.amount.value <= most
        assert fluid.refill is Refill.STEPS
        assert compare(fluid.compared, maker.specification, bottle).answer is Answer.RIGHT


@given(
    st.sampled_from([one for one in FLUIDS.values() if one.refill is Refill.STEPS]),
    st.lists(st.sampled_from([Level.NONE, Level.LOW, Level.BETWEEN]), min_size=1),
)
def test_whatever_the_stick_keeps_showing_the_filling_ends(fluid: Any, levels: list[Level]) -> None:
    demanded = "5W-30 API SN" if fluid.compared is Kind.OIL else "SP-IV"
    maker = Maker(specification=demanded, engine=Engine.OFF, heat=Heat.HOT)
    history: list[Quantity] = []
    for turn in count():
        reading = Reading(
            level=levels[turn % len(levels)],
            engine=Engine.OFF,
            heat=Heat.HOT,
            level_ground=True,
            minutes_since=30,
        )
        step = advise(fluid, reading, maker, history=history, bottle=Bottle(says=demanded))
        if step.amount is None:
            break
        history.append(step.amount)
    assert step.action in {Action.STOP, Action.DONE}
    assert sum(one.value for one in history) <= fluid.most


@given(READINGS.filter(lambda one: one.level in {Level.NONE, Level.LOW}), MAKERS, BOTTLES)
def test_low_brake_clutch_or_coolant_never_gets_an_amount(
    reading: Reading, maker: Maker, bottle: Bottle
) -> None:
    for code in ("brake", "clutch", "coolant"):
        step = advise(FLUIDS[code], reading, maker, bottle=bottle)
        assert step.action not in {Action.ADD, Action.FILL}
