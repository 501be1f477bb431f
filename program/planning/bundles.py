"""What else to ask for: a few parts together where no single one is enough, and hours.

>>> from datetime import date
>>> from program.planning.problem import Case, Item, PartNeed, PlanInput, Week
>>> from program.planning.selection import select
>>> parts = (PartNeed(id="n1", label="radiator"), PartNeed(id="n2", label="water pump"))
>>> given = PlanInput(
...     weeks=(Week(starts_on=date(2026, 11, 30), capacity={"minutes": 60}),),
...     cases=(Case(id="26-043", need_weight=8), Case(id="26-044", need_weight=5)),
...     items=(Item(id="a", case_id="26-043", tier=1, parts=parts),
...            Item(id="b", case_id="26-044", tier=1, minutes=90)),
... )
>>> plan = select(given)
>>> for bundle in ask_bundles(given, plan):
...     print(bundle.sentence)
One radiator and one water pump together would free 26-043: 8 points more of need.
>>> print(ask_hours(given, plan)[0].sentence)
An evening in the week of November 30 would free more than any part: 26-044, 5 points more of need.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from enum import StrEnum
from itertools import chain
from typing import TYPE_CHECKING

from program.planning.canonical import canonical
from program.planning.demand import barred, bounded, demands, parts_of
from program.planning.gains import Gain, better, bound_of
from program.planning.hands import HOURS_OF
from program.planning.mixing import scarce_parts
from program.planning.problem import BAY_DAYS, LIFT_DAYS, MINUTES
from program.planning.solving import Attention
from program.planning.telling import together, would_free
from program.planning.trying import Change, ChangeKind, apply
from program.planning.wording import week_of
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from program.planning.demand import Demand
    from program.planning.plan import Plan
    from program.planning.problem import PartNeed, PlanInput
    from program.planning.solving import Watch
    from shared.say import Say

BUNDLES = 5
SIZES = (2, 3)  # more parts at once are seldom given by one sponsor
LARGEST_SET = 4  # tires
EVENING_MINUTES = 180  # common practice, no source
AT_ONCE = 2
DOING = "What else to ask for"


@dataclass(frozen=True, kw_only=True)
class Bundle:
    """Parts of one car that only together free it; the rest as in an `Ask`."""

    case_id: str
    need_ids: tuple[str, ...]
    labels: tuple[str, ...]
    freed: tuple[str, ...] = ()
    displaced: tuple[str, ...] = ()
    gain: int = 0
    exact: bool = True
    bound: int = 0
    changes: tuple[Change, ...] = ()
    sentence: Say


class HelpKind(StrEnum):
    """Time and room that a sponsor or a volunteer may give."""

    EVENING = "evening"
    BAY_DAY = "bay_day"
    LIFT_DAY = "lift_day"
    LIFT_EVENING = "lift_evening"


@dataclass(frozen=True, kw_only=True)
class Help:
    """An evening, a bay or a lift for a day, in its best week; the rest as in an `Ask`."""

    kind: HelpKind
    week: int
    freed: tuple[str, ...] = ()
    displaced: tuple[str, ...] = ()
    gain: int = 0
    exact: bool = True
    bound: int = 0
    changes: tuple[Change, ...] = ()
    sentence: Say


@dataclass(frozen=True, kw_only=True)
class _Try:
    """One thing to try, with the most it could gain."""

    changes: tuple[Change, ...]
    row: Demand | None = None
    parts: tuple[PartNeed, ...] = ()
    gain: Gain = field(default_factory=Gain)


def ask_bundles(
    plan_input: PlanInput,
    plan: Plan,
    *,
    freed: Iterable[str] = (),
    limit: int = BUNDLES,
    watch: Watch | None = None,
) -> tuple[Bundle, ...]:
    """Return two or three parts of one car, or a set of one kind, that free it together.

    `freed` are the cases that a single part frees; they are left out. Best bound first, until no
    bound that is left beats what was found; all rows are settled, and those that free nobody, or
    no more than fewer of the same parts would, are left out.
    """
    rows, attention = canonical(plan_input), Attention(watch)
    tries = [
        trial
        for row in demands(rows)
        if plan.case(row.case.id) is None and not barred(rows, row.case)
        if row.case.id not in {*freed}
        for trial in _bundles_of(rows, row)
    ]
    found: list[_Try] = []
    for batch in _batches(_by_bound(rows, plan, tries)):
        worst = sorted((one.gain.points for one in found), reverse=True)[limit - 1 : limit]
        if attention.stop() or (worst and worst[0] >= batch[0].gain.bound):
            break
        attention.tell(min(len(found) * 100 // limit, 99), DOING)
        found += [one for one in _settle(rows, plan, batch) if _frees_its_own(one)]
    found.sort(key=lambda one: (-one.gain.points, len(one.changes), one.changes[0].what))
    return tuple(_bundle(one) for one in _smallest(found))[:limit]


def _bundles_of(rows: PlanInput, row: Demand) -> Iterator[_Try]:
    """Yield the parts nobody sells with the dearest others, and each set of one kind."""
    scarce = scarce_parts(rows, row)
    priced = [part for part in parts_of(row.must).values() if part not in scarce]
    priced.sort(key=lambda part: (-(part.price_cents or 0), part.id))
    ordered = [*scarce, *priced]
    kinds: dict[str, list[PartNeed]] = {}
    for part in ordered:
        kinds.setdefault(part.gift_kind, []).append(part)
    sets = [own for own in kinds.values() if 1 < len(own) <= LARGEST_SET]
    sized = [ordered[:n] for n in SIZES if len(scarce) <= n <= len(ordered)]
    seen = set()
    for parts in chain(sized, sets):
        ids = tuple(sorted(part.id for part in parts))
        if ids not in seen:
            seen.add(ids)
            changes = tuple(Change(kind=ChangeKind.PART, what=name, amount=1) for name in ids)
            yield _Try(changes=changes, row=row, parts=tuple(parts))


def _by_bound(rows: PlanInput, plan: Plan, tries: Iterable[_Try]) -> list[_Try]:
    """Return what could gain anything at all, highest bound first."""
    known = [
        replace(one, gain=Gain(bound=bound_of(apply(rows, one.changes), plan)[0])) for one in tries
    ]
    could = [one for one in known if one.gain.bound]
    return sorted(could, key=lambda one: (-one.gain.bound, len(one.changes), one.changes[0].what))


def _batches(tries: list[_Try]) -> Iterator[list[_Try]]:
    yield from (tries[n : n + AT_ONCE] for n in range(0, len(tries), AT_ONCE))


def _settle(rows: PlanInput, plan: Plan, batch: Iterable[_Try]) -> list[_Try]:
    """Return what was tried with its gain, solved beside each other."""

    def settled(one: _Try) -> _Try:
        return replace(one, gain=better(apply(rows, one.changes), plan))

    with ThreadPoolExecutor(AT_ONCE) as pool:
        return list(pool.map(settled, batch))


def _frees_its_own(one: _Try) -> bool:
    return one.row is not None and one.row.case.id in one.gain.freed


def _smallest(tries: Iterable[_Try]) -> Iterator[_Try]:
    """Yield those of which no smaller bundle of the same parts gains as much."""
    rows = list(tries)
    for one in rows:
        others = [
            two
            for two in rows
            if {*two.parts} < {*one.parts} and two.gain.points >= one.gain.points
        ]
        if not others:
            yield one


def _bundle(one: _Try) -> Bundle:
    labels = [part.label or part.id for part in one.parts]
    gain = one.gain
    return Bundle(
        case_id=one.row.case.id if one.row else "",
        need_ids=tuple(part.id for part in one.parts),
        labels=tuple(labels),
        freed=gain.freed,
        displaced=gain.displaced,
        gain=gain.points,
        exact=gain.exact,
        bound=gain.bound,
        changes=one.changes,
        sentence=would_free(together(labels), gain.freed, gain.displaced, gain.points),
    )


def ask_hours(
    plan_input: PlanInput,
    plan: Plan,
    *,
    part_gain: int = 0,
    evening_minutes: int = EVENING_MINUTES,
    watch: Watch | None = None,
) -> tuple[Help, ...]:
    """Return what an evening, a bay or a lift for a day would free in its best week, best first.

    `part_gain` is what the best part gains: help that gains more says so. An evening is of somebody
    who may do any of the work. Help that frees nobody is left out.
    """
    rows, attention = canonical(plan_input), Attention(watch)
    found = []
    for kind in HelpKind:
        changes = _helps(rows, kind, evening_minutes)
        best: tuple[int, _Try] | None = None
        for week, one in enumerate(_by_week(rows, plan, changes)):
            if attention.stop() or (best and best[1].gain.points >= one.gain.bound):
                continue
            (settled,) = _settle(rows, plan, [one])
            if settled.gain.points > (best[1].gain.points if best else 0):
                best = week, settled
        if best:
            found.append(_help(rows, kind, *best, part_gain))
    return tuple(sorted(found, key=lambda one: -one.gain))


def _helps(rows: PlanInput, kind: HelpKind, minutes: int) -> list[Change]:
    """Return what a kind of help adds to a week, without what no week of the input counts."""
    counted = bounded(rows)
    hours = [name for name in counted if name == MINUTES or name.startswith(HOURS_OF)]
    evening = [Change(kind=ChangeKind.TIME, what=name, amount=minutes) for name in hours]
    bay = Change(kind=ChangeKind.BAY, what=BAY_DAYS, amount=1)
    lift = Change(kind=ChangeKind.BAY, what=LIFT_DAYS, amount=1)
    lifted = BAY_DAYS in counted and LIFT_DAYS in counted
    made = {
        HelpKind.EVENING: evening,
        HelpKind.BAY_DAY: [bay] if BAY_DAYS in counted else [],
        HelpKind.LIFT_DAY: [lift] if lifted else [],
        HelpKind.LIFT_EVENING: [lift, *evening] if lifted else [],
    }
    return made[kind]


def _by_week(rows: PlanInput, plan: Plan, changes: list[Change]) -> Iterator[_Try]:
    for week in range(len(rows.weeks)) if changes else ():
        made = tuple(replace(change, week=week) for change in changes)
        yield _Try(changes=made, gain=Gain(bound=bound_of(apply(rows, made), plan)[0]))


def _help(rows: PlanInput, kind: HelpKind, week: int, one: _Try, part_gain: int) -> Help:
    gain = one.gain
    names = {
        HelpKind.EVENING: say("An evening in the {week}", week=week_of(rows.weeks[week])),
        HelpKind.BAY_DAY: say("A bay for a day in the {week}", week=week_of(rows.weeks[week])),
        HelpKind.LIFT_DAY: say("A lift for a day in the {week}", week=week_of(rows.weeks[week])),
        HelpKind.LIFT_EVENING: say("A lift evening in the {week}", week=week_of(rows.weeks[week])),
    }
    return Help(
        kind=kind,
        week=week,
        freed=gain.freed,
        displaced=gain.displaced,
        gain=gain.points,
        exact=gain.exact,
        bound=gain.bound,
        changes=one.changes,
        sentence=would_free(
            names[kind],
            gain.freed,
            gain.displaced,
            gain.points,
            most=gain.points > part_gain,
        ),
    )
