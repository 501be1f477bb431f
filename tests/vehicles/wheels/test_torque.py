"""What counts of a wheel torque, and when it is due again.

50 to 100 miles: wheel makers' advice, read second-hand in our list of cautions (text seen).
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from vehicles.shop.duty import Piece
from vehicles.shop.kinds import EquipmentKind
from vehicles.wheels.torque import (
    Torque,
    again,
    against_release,
    counts_for_release,
    refusal,
    too_soon,
)

TODAY = dt.date(2026, 11, 30)
DAY = dt.timedelta(days=1)
WRENCH = Piece(id=1, name="Torque wrench, 1/2 in", due_on=TODAY, kind=EquipmentKind.TORQUE_WRENCH)


def torque(number: int = 1, on: dt.date = TODAY, **fields: object) -> Torque:
    return Torque(id=number, on=on, **fields)  # type: ignore[arg-type]


def told(torques: list[Torque], work: dt.date | None = None) -> list[str]:
    return [str(problem.sentence) for problem in against_release(torques, work)]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({}, None),
        (
            {"due_on": TODAY - DAY},
            (
                "Torque wrench, 1/2 in was due for inspection on Sunday, November 29, 2026, "
                "so this torque doesn’t count."
            ),
        ),
        (
            {"tagged_out": True, "because": "It clicks late"},
            "Torque wrench, 1/2 in is tagged out, so this torque doesn’t count.",
        ),
        (
            {"retired_on": TODAY},
            "Torque wrench, 1/2 in is retired, so this torque doesn’t count.",
        ),
    ],
)
def test_a_torque_counts_on_the_last_day_on_which_its_wrench_is_in_date(
    fields: dict[str, object], sentence: str | None
) -> None:
    wrench = replace(WRENCH, **fields)  # type: ignore[arg-type]
    found = refusal(wrench, TODAY)
    assert (str(found) if found else None) == sentence


def test_a_release_asks_for_a_torque_after_the_last_work_on_wheels() -> None:
    assert told([]) == ["No wheel torque that counts is on record."]
    assert told([torque()]) == []
    assert told([torque()], TODAY) == []
    assert told([torque()], TODAY + DAY) == [
        "No wheel was torqued after the last work on the wheels, December 1."
    ]
    assert counts_for_release([torque()], TODAY)
    assert not counts_for_release([], TODAY)


def test_what_does_not_count_or_is_void_is_no_torque() -> None:
    none = ["No wheel torque that counts is on record."]
    assert told([torque(counts=False), torque(2, void=True), torque(3, is_again=True)]) == none


def test_every_wheel_is_torqued_in_one_go_or_several() -> None:
    front = torque(wheels=("LF", "RF"))
    assert told([front]) == ["Not torqued yet: LR, RR."]
    assert told([front, torque(2, wheels=("RR", "LR"))]) == []
    assert told([front, torque(2, TODAY - DAY, wheels=("RR", "LR"))], TODAY) == [
        "Not torqued yet: LR, RR."
    ]


def test_the_second_time_is_due_50_to_100_miles_after_the_first() -> None:
    found = again([torque(odometer_mi=98_200)])
    assert found is not None
    assert (found.from_mi, found.until_mi) == (98_250, 98_300)
    assert str(found.sentence) == "Tighten the wheel nuts again at 98,250 to 98,300 miles."


def test_without_an_odometer_the_distance_alone_is_told() -> None:
    found = again([torque()])
    assert found is not None
    assert str(found.sentence) == "Tighten the wheel nuts again after 50 to 100 miles."


def test_a_second_time_is_done_once_for_each_first_time() -> None:
    first, second = torque(1), torque(2, TODAY + DAY, is_again=True)
    assert again([]) is None
    assert again([first, second]) is None
    assert again([first, torque(2, TODAY + DAY, is_again=True, counts=False)]) is not None
    assert again([first, second, torque(3, TODAY + DAY)]) is not None


def test_a_second_time_counts_from_50_miles_on() -> None:
    first = [torque(odometer_mi=98_200)]
    assert (too_soon(first, 98_250), too_soon(first, None)) == (None, None)
    assert str(too_soon(first, 98_249)) == (
        "Driven 49 miles since the first time: the second counts from 50 on."
    )


def test_a_second_time_needs_a_first_and_an_odometer_that_went_on() -> None:
    with pytest.raises(ValueError, match=r"^No first time that counts is on record\.$"):
        too_soon([torque(counts=False)], 98_300)
    with pytest.raises(ValueError, match=r"^The first time it showed 98,200 miles\.$"):
        too_soon([torque(odometer_mi=98_200)], 98_100)
