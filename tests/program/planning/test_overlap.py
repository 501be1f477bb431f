from __future__ import annotations

from program.planning.overlap import bay_minutes, lift_items, work_minutes
from program.planning.problem import Item


def item(name: str, **fields: object) -> Item:
    return Item(**{"id": name, "case_id": "c", "tier": 0, **fields})  # type: ignore[arg-type]


def test_the_longest_of_each_access_counts_once() -> None:
    """Taking off one wheel for pads and hose: labor overlap, common practice, no source."""
    rows = (
        item("pads", minutes=90, access="left wheel", access_minutes=20),
        item("hose", minutes=60, access="left wheel", access_minutes=25),
        item("boot", minutes=80, access="right wheel", access_minutes=20),
    )
    assert work_minutes(rows) == 90 + 60 + 80 - 20
    assert work_minutes(rows[:1]) == 90


def test_access_without_a_name_is_shared_with_nothing() -> None:
    rows = tuple(item(name, minutes=60, access_minutes=30) for name in "ab")
    assert (work_minutes(rows), bay_minutes(rows)) == (120, 120)


def test_in_the_bay_no_more_is_saved_than_was_spent_there() -> None:
    rows = tuple(
        item(name, minutes=60, bay_minutes=bay, access="dash", access_minutes=30)
        for name, bay in [("a", 60), ("b", 10)]
    )
    assert (work_minutes(rows), bay_minutes(rows)) == (90, 60)


def test_a_car_is_on_the_lift_for_all_that_its_lift_work_needs_before() -> None:
    rows = (
        item("a"),
        item("b", prerequisites=("a",)),
        item("c", prerequisites=("b",), on_lift=True),
        item("d", prerequisites=("c",)),
        item("e"),
    )
    assert [row.id for row in lift_items(rows)] == ["a", "b", "c"]
    assert lift_items(rows[:2]) == ()
