"""The open work of a program and its likely cost: seven queries, however many cars."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db.models import Prefetch

from program.cases.models import Case
from program.funds.trying import Work
from program.ledger.queries import standing_commitments
from program.ledger.spending import spends_of
from vehicles.intake.models import Intake
from vehicles.repairs.costs import lines_of, rates_of
from vehicles.repairs.models import Need, RepairItem

if TYPE_CHECKING:
    import datetime as dt

    from shared.accounts.models import Program

# What a price and a rule look at; the rest of a need is long to read, and not asked here.
ASKED = (
    "item_id",
    "state",
    "kind",
    "system",
    "given",
    "quantity",
    "price_cents",
    "price_low_cents",
    "price_high_cents",
)


def open_work(program: Program, on: dt.date) -> list[Work]:
    """Return the open repair items of open cases with their likely cost, by case and item.

    A part that is kept for its need costs nothing. `on` is the day on which it would be paid.
    """
    rates, aside = rates_of(program), _aside(program)
    found = []
    for case, items in _items(program):
        given = {need.pk for item in items for need in item.needs.all() if need.given}
        costs = lines_of(items, given, rates)
        for item in items:
            _low, likely, _high = costs[item.pk]
            found.append(
                Work(
                    item=item.pk,
                    case=case.number,
                    title=item.title,
                    cents=likely.total,
                    spends=tuple(spends_of(item, case, on)),
                    set_aside=aside.get(item.pk, {}),
                )
            )
    return found


def _items(program: Program) -> list[tuple[Case, list[RepairItem]]]:
    """Return each open case whose car is here, with the open items of its stay."""
    stays = dict(Intake.objects.open().filter(program=program).values_list("pk", "vehicle_id"))
    cases = Case.objects.open().filter(program=program, vehicle__in=stays.values())
    by_vehicle = {case.vehicle_id: case for case in cases.select_related("household")}
    by_case: dict[str, list[RepairItem]] = {}
    rows = RepairItem.objects.open().filter(program=program, intake__in=stays)
    needs = Prefetch("needs", queryset=Need.objects.only(*ASKED))
    for item in rows.prefetch_related(needs).order_by("pk"):
        if case := by_vehicle.get(stays[item.intake_id]):
            by_case.setdefault(case.number, []).append(item)
    by_number = {case.number: case for case in by_vehicle.values()}
    return [(by_number[number], by_case[number]) for number in sorted(by_case)]


def _aside(program: Program) -> dict[int, dict[str, int]]:
    """Return what is set aside, by item and fund code."""
    found: dict[int, dict[str, int]] = {}
    for row in standing_commitments(program):
        found.setdefault(row.item_id, {})[row.fund.code] = row.cents
    return found
