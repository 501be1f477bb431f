"""How long 100,000 readings take to be judged, beside what else somebody would write.

Run by hand from the top folder: `python -m pytest tests/bench/bench_judging.py -s -m bench -q`.
It prints figures and asserts only that the others find the same classes, where they find any.
"""

from __future__ import annotations

from collections import Counter
from random import Random
from time import perf_counter
from typing import TYPE_CHECKING, TypeVar

import pytest

from vehicles.inspection import catalogue
from vehicles.inspection.judge import GOOD, judge
from vehicles.inspection.sides import compare, side_reading

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from vehicles.inspection.catalogue import Catalogue
    from vehicles.inspection.criteria import Criterion

T = TypeVar("T")
pytestmark = pytest.mark.bench
READINGS = 100_000


def timed(work: Callable[[], T]) -> tuple[float, T]:
    start = perf_counter()
    found = work()
    return perf_counter() - start, found


def typed_for(criterion: Criterion, chance: Random) -> str:
    """Return what a technician could have typed: a number in the range, good, or a reason."""
    if not criterion.is_measured:
        return chance.choice((GOOD, GOOD, GOOD, criterion.reasons[0].key))
    low, high = float(criterion.low), float(criterion.high)
    number = f"{chance.uniform(low, high):.2f}"
    if not criterion.marked_limit:
        return number
    return f"{number} {criterion.marked_limit} {chance.uniform(low, high):.2f}"


def make_readings(size: int, criteria: Sequence[Criterion]) -> list[tuple[Criterion, str]]:
    chance = Random(size)
    picked = [chance.choice(criteria) for _ in range(size)]
    return [(one, typed_for(one, chance)) for one in picked]


def by_floats(readings: Sequence[tuple[Criterion, str]]) -> Counter[str]:
    """Return the classes as a plain loop finds them: no units, no sentence, no exact fractions."""
    compared = {
        "<": float.__lt__,
        "<=": float.__le__,
        ">": float.__gt__,
        ">=": float.__ge__,
    }
    limits = {
        one.code: [
            (compared[limit.operator], float(limit.value), one.reason(limit.reason).ranks_as.value)
            for limit in one.limits
        ]
        for one, _ in readings
    }
    found: Counter[str] = Counter()
    for criterion, text in readings:
        number = float(text)
        for catches, value, class_ in limits[criterion.code]:
            if catches(number, value):
                found[class_] += 1
                break
        else:
            found["none"] += 1
    return found


def read_anew() -> Catalogue:
    catalogue._read.cache_clear()  # noqa: SLF001 - what a load for each reading would cost
    return catalogue.load()


def test_a_hundred_thousand_readings_of_every_kind_beside_a_load_for_each() -> None:
    load_s, _ = timed(lambda: [read_anew() for _ in range(5)])
    readings = make_readings(READINGS, list(catalogue.load().criteria.values()))
    own_s, found = timed(
        lambda: Counter(judge(one, text).deficiency.value for one, text in readings)
    )
    each = own_s / READINGS
    print(  # noqa: T201 (a bench prints)
        f"\n{READINGS:,} readings of {len(catalogue.load().criteria)} criteria: {own_s:.2f} s, "
        f"{each * 1e6:.1f} us each; one load of the catalogue {load_s / 5 * 1e3:.1f} ms, so with a "
        f"load for each reading {load_s / 5 / each + 1:,.0f} times as long; {dict(found)}"
    )
    assert sum(found.values()) == READINGS


def test_a_hundred_thousand_numbers_beside_a_loop_over_floats() -> None:
    criteria = [
        one
        for one in catalogue.load().criteria.values()
        if one.is_measured
        and not one.marked_limit
        and all(limit.reason != "none" for limit in one.limits)
    ]
    readings = make_readings(READINGS, criteria)
    own_s, found = timed(
        lambda: Counter(judge(one, text).deficiency.value for one, text in readings)
    )
    float_s, plain = timed(lambda: by_floats(readings))
    print(  # noqa: T201 (a bench prints)
        f"\n{READINGS:,} numbers: judged {own_s:.2f} s, plain floats {float_s:.3f} s, "
        f"ratio {own_s / float_s:.1f}; {dict(found)}"
    )
    assert found == plain


def test_the_sides_of_a_thousand_cars() -> None:
    chance = Random(1)
    corners = ("LF", "RF", "LR", "RR")
    cars = []
    for _ in range(1_000):
        places = [("tire-tread", at) for at in corners]
        places += [("brake-pads", f"{at}-{side}") for at in corners for side in ("inner", "outer")]
        places += [("brake-force", at) for at in corners] + [("ride-height", at) for at in corners]
        units = {"tire-tread": "32nds", "brake-force": "N"}
        cars.append(
            [
                side_reading(code, at, str(chance.randrange(2, 12)), units.get(code, "mm"))
                for code, at in places
            ]
        )
    criteria = catalogue.load().criteria
    took, pairs = timed(
        lambda: [pair for car in cars for pair in compare(car, criteria, all_wheel_drive=True)]
    )
    print(f"\n{len(pairs):,} pairs of 1,000 cars: {took:.2f} s")  # noqa: T201 (a bench prints)
    assert len(pairs) == 1_000 * (2 + 1 + 4 + 2 + 2 + 2)
