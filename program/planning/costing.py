"""What the work of a plan may cost in all, with what moves all cars together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.policy.queries import policies
from vehicles.estimates.risk import SharedRisk, simulate_many
from vehicles.repairs.charges import Rates
from vehicles.repairs.costs import car_points, lines_of
from vehicles.repairs.estimate import EstimateItem
from vehicles.repairs.models import RepairItem
from vehicles.repairs.queries import with_work

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from program.planning.plan import Plan
    from shared.accounts.models import Program
    from vehicles.estimates.risk import ManyRisk
    from vehicles.repairs.costs import CashPoints


def cost_of(program: Program, plan: Plan, *, seed: int) -> ManyRisk:
    """Return the odds of the cash of all items of a plan; given parts cost nothing. Five queries.

    `seed` is the number of the first week, so that a figure doesn't jump between two plans of it.
    """
    rules = policies(program, program.today())
    rates, shared = Rates.of(rules), SharedRisk.of(rules)
    given = {
        int(source.need_id.partition(".")[0])
        for case in plan.cases
        for source in case.parts
        if source.supply_id
    }
    wanted = [int(item_id) for case in plan.cases for item_id in case.item_ids]
    by_stay: dict[int, list[RepairItem]] = {}
    for item in with_work(RepairItem.objects.filter(pk__in=wanted)).order_by("pk"):
        by_stay.setdefault(item.intake_id, []).append(item)
    cars = {stay: _car(lines_of(items, given, rates), rates) for stay, items in by_stay.items()}
    return simulate_many(cars, seed=seed, shared_sigma=shared.sigma, not_found=shared.not_found)


def _car(lines: Mapping[int, CashPoints], rates: Rates) -> list[EstimateItem]:
    """Return what one car costs: the work of each item, its parts apart, and the supplies.

    Parts are bought, so that they may not be found at their price.
    """
    rows = [
        (0, [one.supplies for one in car_points(lines.values(), rates)], False),
        *(
            (2 * pk, [one.labor + one.outside for one in points], False)
            for pk, points in lines.items()
        ),
        *(
            (2 * pk + 1, [one.parts + one.tax for one in points], True)
            for pk, points in lines.items()
        ),
    ]
    return list(_drawn(rows))


def _drawn(rows: list[tuple[int, list[int], bool]]) -> Iterator[EstimateItem]:
    for number, (low, likely, high), bought in rows:
        if high:
            yield EstimateItem(id=number, low=low, likely=likely, high=high, bought=bought)
