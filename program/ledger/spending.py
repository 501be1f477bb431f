"""What a repair item, or a line of the ledger, is spent on, as a restriction looks at it.

Nothing here asks the database when the items were read with `vehicles.repairs.queries.with_work`
and the cases with their household.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.ledger.restrictions import Spend, SpendKind
from vehicles.repairs.queries import open_parts
from vehicles.repairs.states import NeedState

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Iterator

    from program.cases.models import Case
    from vehicles.repairs.models import RepairItem


def spends_of(item: RepairItem, case: Case, on: dt.date) -> Iterable[Spend]:
    """Yield what an open item may cost: each part to be bought, and the work done elsewhere.

    An item that asks for neither is paid for as labor, of its system and job.
    """
    bills = [(need.kind, need.system, SpendKind.PARTS) for need in open_parts(item, ())]
    if item.sublet_cents:
        bills.append(("", item.system, SpendKind.SUBLET))
    for part_kind, system, kind in bills or [("", item.system, SpendKind.LABOR)]:
        yield _spend(item.title, on, kind, (case, item), part=(part_kind, system))


def spend_of_line(
    *,
    what: str,
    on: dt.date,
    cents: int,
    kind: str,
    case: Case | None,
    item: RepairItem | None,
) -> list[Spend]:
    """Return what one line pays for; a fund has to allow every one of them.

    Parts of an item that lacks several kinds are a spend of each kind, at the whole amount. A line
    without an item or a case leaves open what a rule may ask: such a rule refuses it.
    """
    about = (case, item)
    if kind != SpendKind.PARTS or item is None:
        return [_spend(what, on, kind, about, cents=cents)]
    return [
        _spend(what, on, kind, about, cents=cents, part=part)
        for part in dict.fromkeys(_parts(item)) or [("", item.system)]
    ]


def _parts(item: RepairItem) -> Iterator[tuple[str, str]]:
    """Yield kind and system of each part of an item, bought or to be bought."""
    for need in item.needs.all():
        if need.state != NeedState.WITHDRAWN:
            yield need.kind, need.system


def _spend(
    what: str,
    on: dt.date,
    kind: str,
    about: tuple[Case | None, RepairItem | None],
    *,
    cents: int = 1,
    part: tuple[str, str] = ("", ""),
) -> Spend:
    case, item = about
    household = case.household if case else None
    return Spend(
        what=what,
        on=on,
        cents=cents,
        kind=kind,
        system=part[1] or (item.system if item else ""),
        job=item.operation if item else "",
        part_kind=part[0],
        county=household.county if household else "",
        household_kinds=frozenset(household.kinds if household else ()),
    )
