"""What the work of a plan may cost in all, with what moves all cars together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.policy.queries import policies
from vehicles.estimates.risk import SharedRisk, simulate_many
from vehicles.repairs.charges import Rates
from vehicles.repairs.costs import estimate_items, lines_of
from vehicles.repairs.models import RepairItem
from vehicles.repairs.queries import with_work

if TYPE_CHECKING:
    from program.planning.plan import Plan
    from shared.accounts.models import Program
    from vehicles.estimates.risk import ManyRisk
    from vehicles.repairs.estimate import EstimateItem


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
    cars: dict[int, list[EstimateItem]] = {
        stay: estimate_items(lines_of(items, given, rates), rates)
        for stay, items in by_stay.items()
    }
    return simulate_many(cars, seed=seed, shared_sigma=shared.sigma, not_found=shared.not_found)
