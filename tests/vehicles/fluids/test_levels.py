"""Whether a reading counts. Conditions as the maker says; settling: common practice, no source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from vehicles.fluids.levels import (
    Engine,
    Heat,
    Level,
    Look,
    Maker,
    Reading,
    doubt,
    questions,
    unsettled,
)
from vehicles.fluids.rows import load

FLUIDS = load()
MAKER = Maker(engine=Engine.RUNNING, heat=Heat.HOT)
READ = Reading(level=Level.LOW, engine=Engine.RUNNING, heat=Heat.HOT, level_ground=True)


def test_a_reading_as_the_maker_says_counts() -> None:
    assert doubt(FLUIDS["automatic"], READ, MAKER, poured=False) is None
    assert questions(FLUIDS["automatic"], READ, MAKER, poured=False) == ()


def test_only_what_matters_for_a_fluid_is_asked() -> None:
    asked = questions(FLUIDS["brake"], Reading(level=Level.LOW), Maker(), poured=False)
    assert list(map(str, asked)) == ["Did the car stand on level ground?"]


def test_nothing_to_be_seen_counts_cold_but_not_with_the_engine_in_the_wrong_state() -> None:
    nothing = replace(READ, level=Level.NONE, heat=Heat.COLD)
    assert doubt(FLUIDS["automatic"], nothing, MAKER, poured=False) is None
    off = replace(nothing, engine=Engine.OFF)
    assert str(doubt(FLUIDS["automatic"], off, MAKER, poured=False)) == (
        "It was read with the engine off, so it does not count."
    )


@pytest.mark.parametrize(("since", "left"), [(None, 3), (0, 3), (2, 1), (3, 0), (60, 0)])
def test_what_was_poured_in_settles_by_the_minute(since: int | None, left: int) -> None:
    reading = replace(READ, minutes_since=since)
    assert unsettled(FLUIDS["automatic"], reading, poured=True) == left
    assert unsettled(FLUIDS["automatic"], reading, poured=False) == 0


def test_how_it_is_read_and_what_was_read_are_said_in_words() -> None:
    assert str(MAKER.how) == "on level ground, engine running, hot"
    assert str(Maker(heat=Heat.EITHER).how) == "on level ground, cold or hot"
    assert str(READ.evidence(FLUIDS["automatic"])) == (
        "Automatic transmission fluid: below the low mark, engine running, hot"
    )
    milky = replace(READ, look=Look.MILKY)
    assert str(milky.evidence(FLUIDS["automatic"])) == (
        "Automatic transmission fluid: looks like milk, engine running, hot"
    )
