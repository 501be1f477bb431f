"""The items of a plan's cars: what each takes, costs and lacks."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from program.planning import problem
from program.planning.capacity import Capacity
from program.planning.problem import PartNeed
from shared.money import share_out
from vehicles.repairs.charges import Rates
from vehicles.repairs.costs import car_points, lines_of, need_points, work_points
from vehicles.repairs.estimate import EstimateItem, simulate
from vehicles.repairs.queries import acts_of, open_parts

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Mapping, Sequence

    from program.cases.models import Case
    from vehicles.custody.authority import Authority
    from vehicles.intake.models import Intake
    from vehicles.repairs.models import Need, RepairItem

DRAWS = 2_000  # approval computes the input again while a person waits; more move it by 3 in 1,000
SUPPLIES = "supplies"


@dataclass(frozen=True, kw_only=True)
class Facts:
    """What every part of the input asks for."""

    first_week_on: dt.date
    weeks: int
    rules: Mapping[str, int]
    cases: Sequence[Case]
    intakes: Mapping[int, Intake]  # by case
    items: Mapping[int, Sequence[RepairItem]]  # by case
    set_aside: Mapping[int, int]  # cents by item
    serving: Mapping[int, Sequence[int]] = field(default_factory=dict)  # supplies by need
    authorities: Mapping[int, Sequence[Authority]] = field(default_factory=dict)  # by intake
    first: Mapping[int, Collection[int]] = field(default_factory=dict)  # causes before effects
    unrepaired: Mapping[int, str] = field(default_factory=dict)  # causes nobody repairs, by item
    capacity: Capacity = field(default_factory=lambda: Capacity(weeks=(), shared=()))


def plan_items(facts: Facts, case: Case) -> list[problem.Item]:
    """Return a case's items with every cost at its share of the case's 80 percent point."""
    rows = facts.items.get(case.pk, [])
    if not rows:
        return []
    costs = _costs(facts, case, rows)
    open_ids = {item.pk for item in rows}
    return [
        problem.Item(
            id=str(item.pk),
            case_id=case.number,
            label=item.title,
            tier=item.tier,
            points=item.points,
            cash_cents=costs[f"item {item.pk}"],
            set_aside_cents=facts.set_aside.get(item.pk, 0),
            minutes=item.labor_likely_minutes,
            bay_minutes=_bay_minutes(item),
            uses=_hours(facts, item),
            on_lift=item.needs_lift,
            access=item.access,
            access_minutes=item.access_minutes,
            outside_days=_outside_days(facts, item),
            prerequisites=_first(facts, item, open_ids),
            parts=tuple(
                part
                for need in open_parts(item, ())
                for part in _parts(facts, need, costs[f"need {need.pk}"])
            ),
        )
        for item in rows
    ]


def group_of(item: RepairItem) -> str:
    """Return the name of the kind of work, by what it takes of who does it; none for work outside.

    Taking the car there and back is anybody's.
    """
    return "" if item.sublet_cents else ", ".join(act.what for act in acts_of(item))


def _hours(facts: Facts, item: RepairItem) -> dict[str, int]:
    """Return the minutes of those who may do it; what only comes off and on again is anybody's."""
    minutes = item.labor_likely_minutes - item.access_minutes
    return facts.capacity.hours_for(group_of(item), minutes)


def _bay_minutes(item: RepairItem) -> int | None:
    return item.labor_likely_minutes + item.rest_minutes if item.rest_minutes else None


def _outside_days(facts: Facts, item: RepairItem) -> int:
    if item.outside_days or not item.sublet_cents:
        return item.outside_days
    return facts.rules["outside_days"]


def _first(facts: Facts, item: RepairItem, open_ids: Collection[int]) -> tuple[str, ...]:
    """Return the open items that come before one: by record, or since they repair its cause."""
    on_record = {row.first_id for row in item.needs_first.all()}
    return tuple(
        sorted(str(pk) for pk in on_record | {*facts.first.get(item.pk, ())} if pk in open_ids)
    )


def _costs(facts: Facts, case: Case, rows: Sequence[RepairItem]) -> dict[str, int]:
    """Return the cents of each item and of each need, together the 80 percent point."""
    rates = Rates.of(facts.rules)
    points: dict[str, tuple[int, int, int]] = {}
    for item in rows:
        points[f"item {item.pk}"] = work_points(item, rates)
        points |= {f"need {one.pk}": need_points(one, rates) for one in open_parts(item, ())}
    _add_supplies(points, rows, rates)
    drawn = [
        EstimateItem(id=number, low=low, likely=likely, high=high)
        for number, (low, likely, high) in enumerate(points.values())
    ]
    spread = simulate(drawn, DRAWS, seed=case.pk).spread
    costs = {name: spread[number] for number, name in enumerate(points)}
    costs[f"item {rows[0].pk}"] += costs.pop(SUPPLIES, 0)  # asked once a car
    return costs


def _add_supplies(
    points: dict[str, tuple[int, int, int]], rows: Sequence[RepairItem], rates: Rates
) -> None:
    low, likely, high = (
        one.supplies for one in car_points(lines_of(rows, (), rates).values(), rates)
    )
    if high:
        points[SUPPLIES] = (low, likely, high)


def _parts(facts: Facts, need: Need, cents: int) -> list[PartNeed]:
    """Return one part for each unit of a need, named for what one gift could serve."""
    facts_asked = sorted(need.fitment.items())
    own_car = () if _by_size(need) else sorted(need.car.items())
    prices = share_out(cents, [1] * need.quantity)
    return [
        PartNeed(
            id=f"{need.pk}.{number}",
            label=need.title,
            kind=f"{need.kind} {facts_asked} {own_car}",
            price_cents=None if need.price_cents is None else price,
            supply_ids=tuple(str(unit) for unit in facts.serving.get(need.pk, ())),
        )
        for number, price in enumerate(prices, start=1)
    ]


def _by_size(need: Need) -> bool:
    """Return whether a part is chosen by size, group or specification, whatever the car."""
    return any(need.fitment.get(name) for name in ("tire_size", "bci_group", "specification"))
