"""What the planner is given: cases, their items, parts, money, and what each week holds.

`PlanInput` is plain data. A week holds any named resources; three names mean something here:
`MINUTES` is work done by people, `BAY_DAYS` is a car standing in a bay for a day, `LIFT_DAYS` is
one of these days in a bay with a lift.

>>> item = Item(id="b", case_id="1", tier=3, prerequisites=("a",))
>>> gate = Item(id="a", case_id="1", tier=1, minutes=60)
>>> sorted(must_ids([item, gate]))
['a']
>>> Fund(id="general", label="General", available_cents=1_150_00).spendable_cents(15)
100000
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING, Protocol, TypeVar

from shared.say import Say

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from program.planning.plan import Plan

MINUTES = "minutes"
BAY_DAYS = "bay_days"
LIFT_DAYS = "lift_days"
HELD = frozenset({BAY_DAYS, LIFT_DAYS})  # a car may hold more of them than its work takes
MUST_TIER = 1  # tiers 0 and 1 are done before a car goes home: hazard rule, steps 3 and 7
RESERVE_PERCENT = 15  # kept for supplements: common practice, no source
BAY_DAY_MINUTES = 420  # work on one car in one bay in one day: common practice, no source
OPEN_DAYS = 5
NO_RULE = Say("")


@dataclass(frozen=True, kw_only=True)
class Week:
    """One week and what it holds. Without `open_on` the shop is open Monday to Friday."""

    starts_on: date
    capacity: Mapping[str, int]
    open_on: tuple[date, ...] = ()

    @property
    def days(self) -> tuple[date, ...]:
        """The days on which the shop is open, in order."""
        return self.open_on or tuple(self.starts_on + timedelta(days=n) for n in range(OPEN_DAYS))


@dataclass(frozen=True, kw_only=True)
class Case:
    """One household's car. A case whose work has begun or whose day was promised `stays`.

    `uses` is what going home takes beside the items: final inspection, papers. `hold` says why
    nobody may plan it yet. `stands` is what the car takes up in every week until it has gone home,
    its home week included, such as a space for cars that don't roll: from the first week on, since
    it is here, or, when it `comes` only for the plan, from its start on. Cars that are here may
    stand beyond a week's capacity, which nobody can change; a plan adds nothing to it there.
    """

    id: str
    label: str = ""
    need_weight: int
    uses: Mapping[str, int] = field(default_factory=dict)
    earliest_week: int = 0
    stays: bool = False
    hold: Say | None = None
    stands: Mapping[str, int] = field(default_factory=dict)
    comes: bool = False


@dataclass(frozen=True, kw_only=True)
class PartNeed:
    """One part (a pair or a set is one part) that an item lacks.

    `supply_ids` are the supplies that fit and may serve it. A price of None means that it can't be
    bought. Needs of one `kind` could be served by the same gift; empty means a kind of its own.
    """

    id: str
    label: str = ""
    kind: str = ""
    price_cents: int | None = None
    buy_week: int = 0
    supply_ids: tuple[str, ...] = ()

    @property
    def gift_kind(self) -> str:
        """The kind under which a sponsor would be asked for it."""
        return self.kind or self.id


@dataclass(frozen=True, kw_only=True)
class Item:
    """One repair item. `cash_cents` is its cash beside the listed parts: sublet, paid labor.

    Prices and cash stand at the 80 percent point. `set_aside_cents` was committed by an earlier
    plan and is no longer in any fund's `available_cents`; only what goes beyond it is paid anew.
    `bay_minutes` of None means that all its minutes are in the bay; curing and drying there make
    them more than `minutes`. A car is `on_lift` from the first work that is needed for such an item
    until the last of them is done, for until then it can't roll. Of `minutes`, `access_minutes` go
    into taking off what the items of one `access` of a car share: done together, the longest counts
    once. `outside_days` are open days on which the car is elsewhere and holds no bay.
    """

    id: str
    case_id: str
    label: str = ""
    tier: int
    points: int = 0
    cash_cents: int = 0
    set_aside_cents: int = 0
    minutes: int = 0
    bay_minutes: int | None = None
    uses: Mapping[str, int] = field(default_factory=dict)
    prerequisites: tuple[str, ...] = ()
    parts: tuple[PartNeed, ...] = ()
    on_lift: bool = False
    access: str = ""
    access_minutes: int = 0
    outside_days: int = 0

    @property
    def in_bay_minutes(self) -> int:
        """Minutes for which the car stands in a bay."""
        return self.minutes if self.bay_minutes is None else self.bay_minutes

    @property
    def takes(self) -> dict[str, int]:
        """Every resource it takes but bay days, which are counted for the whole car."""
        minutes = {MINUTES: self.minutes} if self.minutes else {}
        return add_up(minutes, self.uses)


@dataclass(frozen=True, kw_only=True)
class Supply:
    """Units that can fill a need: on the shelf, on order or pledged, there from `week` on."""

    id: str
    label: str = ""
    quantity: int = 1
    week: int = 0


@dataclass(frozen=True, kw_only=True)
class Fund:
    """Money and what it may pay. `pays` of None means any item; else only these item ids.

    `available_cents` is the balance less what is set aside already; `floor_cents` is kept back.
    A fund that lapses before the plan is approved belongs in no input.
    """

    id: str
    label: str
    available_cents: int
    floor_cents: int = 0
    restricted: bool = False
    pays: frozenset[str] | None = None
    lapses_on: date | None = None
    rule: Say = NO_RULE

    def spendable_cents(self, reserve_percent: int) -> int:
        """Return what a plan may commit, so that the reserve for supplements stays beside it."""
        return max(self.available_cents - self.floor_cents, 0) * 100 // (100 + reserve_percent)

    def may_pay(self, item_id: str) -> bool:
        """Whether the fund's rule allows the item."""
        return self.pays is None or item_id in self.pays


@dataclass(frozen=True, kw_only=True)
class PlanInput:
    """Everything a plan is computed from. Rows may stand in any order; weeks are sorted by day.

    `gift_week` is the first week in which a part that is asked for now could be there.
    `extras_cents` bounds the cash for items of tiers 2 to 4; None means no bound.
    """

    weeks: tuple[Week, ...]
    cases: tuple[Case, ...]
    items: tuple[Item, ...] = ()
    funds: tuple[Fund, ...] = ()
    supplies: tuple[Supply, ...] = ()
    pinned_in: frozenset[str] = frozenset()
    pinned_out: frozenset[str] = frozenset()
    prior: Plan | None = None
    reserve_percent: int = RESERVE_PERCENT
    bay_day_minutes: int = BAY_DAY_MINUTES
    extras_cents: int | None = None
    gift_week: int = 0


class Row(Protocol):
    """Anything with an id."""

    @property
    def id(self) -> str: ...


R = TypeVar("R", bound=Row)


def by_id(rows: Iterable[R]) -> dict[str, R]:
    """Return the rows under their ids, in order of id."""
    return {row.id: row for row in sorted(rows, key=lambda row: row.id)}


def add_up(*uses: Mapping[str, int]) -> dict[str, int]:
    """Return the sums of several uses by resource, in order of name.

    >>> add_up({"minutes": 30}, {"minutes": 15, "lift": 1})
    {'lift': 1, 'minutes': 45}
    """
    sums: dict[str, int] = {}
    for use in uses:
        for name, amount in use.items():
            sums[name] = sums.get(name, 0) + amount
    return dict(sorted(sums.items()))


def needed(items: Iterable[Item], ids: Iterable[str]) -> frozenset[str]:
    """Return the ids and, of the items, all that those need before, and so on.

    >>> rows = (Item(id="a", case_id="1", tier=1),
    ...         Item(id="b", case_id="1", tier=1, prerequisites=("a",)))
    >>> sorted(needed(rows, ["b"]))
    ['a', 'b']
    """
    rows = by_id(items)
    found: set[str] = set()
    waiting = list(ids)
    while waiting:
        item_id = waiting.pop()
        if item_id in rows and item_id not in found:
            found.add(item_id)
            waiting.extend(rows[item_id].prerequisites)
    return frozenset(found)


def must_ids(items: Iterable[Item]) -> frozenset[str]:
    """Return the items without which no car goes home: tiers 0 and 1 and all they need before."""
    rows = list(items)
    return needed(rows, [row.id for row in rows if row.tier <= MUST_TIER])
