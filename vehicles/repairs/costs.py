"""What the items of a car cost by the program's rule, at three points: low, likely, high."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.policy.queries import policies
from vehicles.repairs.charges import (
    Cash,
    Rates,
    corrected,
    labor_cents,
    tax_cents,
    with_supplies,
)
from vehicles.repairs.estimate import EstimateItem
from vehicles.repairs.overlap import Job, shared_access
from vehicles.repairs.queries import hazard, open_parts
from vehicles.repairs.ranking import RankItem

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from shared.accounts.models import Program
    from vehicles.repairs.models import Need, RepairItem

SUPPLIES = 0  # the number among the items of a car under which its shop supplies are drawn
Points = tuple[int, int, int]
CashPoints = tuple[Cash, Cash, Cash]


def rates_of(program: Program) -> Rates:
    """Return the program's rule for what work costs, as in force today; one query."""
    return Rates.of(policies(program, program.today()))


def saved_minutes(items: Iterable[RepairItem]) -> dict[int, int]:
    """Return by item the minutes that it saves, since another one takes the same things off.

    `items` are the open ones of one car. The one that needs longest for it takes them off; of
    those alike, the first.
    """
    jobs = [
        Job(id=item.pk, title=item.title, access=item.access, minutes=item.access_minutes)
        for item in items
    ]
    found: dict[int, int] = {}
    for shared in shared_access(jobs):
        longest = max(shared.jobs, key=lambda job: (job.minutes, -job.id))
        found |= {job.id: job.minutes for job in shared.jobs if job is not longest}
    return found


def minute_points(item: RepairItem, rates: Rates, saved: int = 0) -> Points:
    """Return low, likely and high minutes of an item, corrected by the program's own record.

    `saved` are minutes of it that another item of the car takes anyway.
    """
    percent = rates.labor_correction_percent
    return (
        corrected(item.labor_low_minutes - saved, percent),
        corrected(item.labor_likely_minutes - saved, percent),
        corrected(item.labor_high_minutes - saved, percent),
    )


def price_points(need: Need, rates: Rates) -> Points:
    """Return low, likely and high cents of all pieces of a need, corrected and without tax."""
    likely = need.price_cents or 0
    low = likely if need.price_low_cents is None else need.price_low_cents
    high = likely if need.price_high_cents is None else need.price_high_cents
    percent = rates.parts_correction_percent
    return (
        corrected(need.quantity * low, percent),
        corrected(need.quantity * likely, percent),
        corrected(need.quantity * high, percent),
    )


def need_points(need: Need, rates: Rates) -> Points:
    """Return the same with the tax on it: what a plan counts for a part that is bought."""
    low, likely, high = (one + tax_cents(one, rates) for one in price_points(need, rates))
    return low, likely, high


def work_points(item: RepairItem, rates: Rates) -> Points:
    """Return low, likely and high cents of an item without its parts: labor, work elsewhere."""
    low, likely, high = (one.work for one in _cash(item, (), rates))
    return low, likely, high


def cash_points(
    item: RepairItem, given: Collection[int], rates: Rates, saved: int = 0
) -> CashPoints:
    """Return the cash of an item at its three points; a part that is given costs nothing."""
    return _cash(item, open_parts(item, given), rates, saved)


def _cash(item: RepairItem, needs: Iterable[Need], rates: Rates, saved: int = 0) -> CashPoints:
    prices = [price_points(need, rates) for need in needs]
    outside = corrected(item.sublet_cents, rates.parts_correction_percent)
    low, likely, high = (
        Cash(
            labor=labor_cents(minutes, rates.labor_cents_per_hour),
            parts=sum(one[at] for one in prices),
            outside=outside,
            tax=sum(tax_cents(one[at], rates) for one in prices),
        )
        for at, minutes in enumerate(minute_points(item, rates, saved))
    )
    return low, likely, high


def lines_of(
    items: Sequence[RepairItem], given: Collection[int], rates: Rates
) -> dict[int, CashPoints]:
    """Return the cash of each item of one car, by its id; what comes off once counts once."""
    saved = saved_minutes(items)
    return {item.pk: cash_points(item, given, rates, saved.get(item.pk, 0)) for item in items}


def car_points(lines: Iterable[CashPoints], rates: Rates) -> CashPoints:
    """Return the cash of one car at the three points, with its tax and supplies."""
    rows = list(lines)
    low, likely, high = (with_supplies([row[at] for row in rows], rates) for at in range(3))
    return low, likely, high


def cost_points(item: RepairItem, given: Collection[int], rates: Rates) -> Points:
    """Return low, likely and high cents of an item: labor, work elsewhere, parts; without tax."""
    low, likely, high = cash_points(item, given, rates)
    return low.work, likely.work, high.work


def estimate_items(lines: Mapping[int, CashPoints], rates: Rates) -> list[EstimateItem]:
    """Return the cash of each item of one car for the simulation, with the tax on its parts.

    Where the program charges shop supplies, they are one more, under the number `SUPPLIES`.
    """
    found = [_estimated(pk, [one.work + one.tax for one in points]) for pk, points in lines.items()]
    supplies = [one.supplies for one in car_points(lines.values(), rates)]
    return [*found, _estimated(SUPPLIES, supplies)] if any(supplies) else found


def _estimated(number: int, points: Sequence[int]) -> EstimateItem:
    low, likely, high = points
    return EstimateItem(id=number, low=low, likely=likely, high=high)


def minute_items(items: Sequence[RepairItem], rates: Rates) -> list[EstimateItem]:
    """Return the labor of each item of one car for the simulation; what comes off once, once."""
    saved = saved_minutes(items)
    return [
        _estimated(item.pk, minute_points(item, rates, saved.get(item.pk, 0))) for item in items
    ]


def rank_item(item: RepairItem, given: Collection[int], rates: Rates, today: dt.date) -> RankItem:
    """Return an item as the ranking rule reads it."""
    return RankItem(
        id=item.pk,
        hazards=tuple(hazard(finding) for finding in item.findings.all()),
        net_cost_cents=cost_points(item, given, rates)[1],
        days_waiting=max((today - item.intake.arrived_on).days, 0),
    )
