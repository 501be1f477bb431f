"""Plans, and the money they may spend, as the database holds them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.ledger.models import Fund
from program.ledger.queries import free_cents, held, pure_fund
from program.ledger.restrictions import Spend, SpendKind, allows
from program.planning import problem
from vehicles.repairs.queries import open_parts

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from program.cases.models import Case
    from shared.accounts.models import Program
    from vehicles.repairs.models import RepairItem


@dataclass(frozen=True, kw_only=True)
class Payable:
    """The work that funds are asked about, and the days between which it is paid."""

    first_on: dt.date
    last_on: dt.date
    floor_cents: int  # kept back from unrestricted money
    work: Sequence[tuple[Case, RepairItem]]


def plan_funds(program: Program, payable: Payable) -> Iterable[problem.Fund]:
    """Yield each open fund with its free money and the items it may pay for."""
    rows = list(Fund.objects.filter(program=program, closed_on=None).order_by("pk"))
    free = free_cents(rows, held(program))
    floor = payable.floor_cents
    for row in rows:
        if row.lapses_on and row.lapses_on < payable.first_on:
            continue
        kept = 0 if row.restricted else min(floor, max(free[row.code], 0))
        floor -= kept
        yield problem.Fund(
            id=row.code,
            label=row.name,
            available_cents=free[row.code],
            floor_cents=kept,
            restricted=row.restricted,
            pays=_pays(row, payable),
            lapses_on=row.lapses_on,
        )


def _pays(row: Fund, payable: Payable) -> frozenset[str] | None:
    """Return the items whose every part and outside work a fund may pay; None for any."""
    if not row.rule:
        return None
    fund = pure_fund(row)
    day = min(payable.last_on, row.lapses_on) if row.lapses_on else payable.last_on
    return frozenset(
        str(item.pk)
        for case, item in payable.work
        if all(allows(fund, spend) for spend in _spends(item, case, day))
    )


def _spends(item: RepairItem, case: Case, on: dt.date) -> Iterable[Spend]:
    """Yield what an item may cost, as a restriction looks at it."""
    household = case.household
    county = household.county if household else ""
    kinds = frozenset(household.kinds if household else ())
    bills = [(need.kind, need.system, SpendKind.PARTS) for need in open_parts(item, ())]
    if item.sublet_cents:
        bills.append(("", item.system, SpendKind.SUBLET))
    for part_kind, system, kind in bills:
        yield Spend(
            what=item.title,
            on=on,
            cents=1,
            kind=kind,
            system=system,
            part_kind=part_kind,
            county=county,
            household_kinds=kinds,
        )
