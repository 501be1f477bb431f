"""One case on its way: how its hours are shared among its kinds of work."""

from __future__ import annotations

from typing import Any

from program.planning.demand import demands
from program.planning.packing import Weeks
from program.planning.problem import Case, Item, PlanInput
from program.planning.stays import Load, load_of
from tests.program.planning.programs import week

ANA, BOTH = "minutes of Ana", "minutes of Ana or Ben"


def item(name: str, **fields: Any) -> Item:
    return Item(**{"id": name, "case_id": "c", "tier": 0, "minutes": 120, **fields})


def given(*items: Item, weeks: tuple[dict[str, int], ...], final: int = 0) -> PlanInput:
    return PlanInput(
        weeks=tuple(week(n, **{"bay_days": 5, **there}) for n, there in enumerate(weeks)),
        cases=(Case(id="c", need_weight=1, uses={"minutes": final} if final else {}),),
        items=items,
    )


def load(rows: PlanInput) -> Load:
    return load_of(rows, demands(rows)[0], {item.id for item in rows.items})


def test_shared_access_is_counted_once_and_is_anybodys() -> None:
    shared: dict[str, Any] = {"access": "dash", "access_minutes": 50}
    rows = given(
        item("a", uses={ANA: 70}, **shared),
        item("b", **shared),
        weeks=({"minutes": 500, ANA: 500},) * 2,
    )
    assert {kind: work.minutes for kind, work in load(rows).kinds.items()} == {(): 120, (ANA,): 70}


def test_a_case_that_takes_nobodys_hours_has_no_kinds() -> None:
    rows = given(item("a", uses={ANA: 0}), weeks=({"minutes": 500, ANA: 500},) * 2)
    assert load(rows).kinds == {}


def test_what_fewest_may_do_comes_first_when_a_week_does_not_hold_all() -> None:
    rows = given(
        item("a", uses={ANA: 120, BOTH: 120}),
        item("b", uses={BOTH: 120}),
        item("d"),
        weeks=(
            {"minutes": 200, ANA: 120, BOTH: 200},
            {"minutes": 160, ANA: 0, BOTH: 40},
        ),
    )
    planned = Weeks(rows).spread(load(rows), 0)
    assert planned is not None
    assert planned.uses == {
        (0, "bay_days"): 1,
        (0, "minutes"): 200,
        (0, ANA): 120,
        (0, BOTH): 200,
        (1, "bay_days"): 1,
        (1, "minutes"): 160,
        (1, BOTH): 40,
    }


def test_hours_left_over_do_not_make_up_for_minutes() -> None:
    rows = given(
        item("a", minutes=300, uses={ANA: 300}),
        weeks=({"minutes": 200, ANA: 150}, {"minutes": 100, ANA: 200}),
    )
    assert Weeks(rows).spread(load(rows), 0) is None


def test_a_kind_of_work_takes_days_in_a_bay_whatever_else_is_free() -> None:
    """The final inspection needs no bay, so in the second week no day is left for Ana's work."""
    short = {"minutes": 480, ANA: 420, "bay_days": 1}
    rows = given(
        item("a", minutes=840, uses={ANA: 840}),
        final=120,
        weeks=(short, short | {"bay_days": 0}),
    )
    assert Weeks(rows).spread(load(rows), 0) is None
    enough = given(
        item("a", minutes=840, uses={ANA: 840}),
        final=120,
        weeks=(short, short),
    )
    planned = Weeks(enough).spread(load(enough), 0)
    assert planned is not None
    assert [planned.uses[n, ANA] for n in range(2)] == [420, 420]
