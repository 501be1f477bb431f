"""What has to stay in and doesn't fit: why, beside which others, and what would make room.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> from program.planning.selection import select
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = tuple(Case(id=name, need_weight=weight, uses={"minutes": minutes})
...              for name, weight, minutes in [("a", 6, 90), ("b", 5, 40), ("c", 3, 60)])
>>> given = PlanInput(weeks=(week,), cases=rows, pinned_in=frozenset("ab"))
>>> (conflict,) = conflicts(given, select(given))
>>> for sentence in conflict.sentences:
...     print(sentence)
a is pinned in, and can't go home beside b, which is pinned in too.
Beside all that has to stay in it lacks 0:30 hours of shop time.
>>> conflict.pins
('a', 'b')
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.planning.canonical import canonical
from program.planning.demand import barred, forced, parts_of
from program.planning.joining import RELIEF_EFFORT, Bench, fit
from program.planning.mixing import cheapest_mix
from program.planning.problem import by_id
from program.planning.wording import case_list, lacking, never_fits
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from program.planning.plan import Plan
    from program.planning.problem import Case, PlanInput
    from shared.say import Say

MOST = 5  # so many are explained; a person settles those first


@dataclass(frozen=True, kw_only=True)
class Conflict:
    """One case that has to stay in and doesn't fit.

    `beside` are cases that have to stay in as well: all of them together leave no room for it, and
    without any one of them there would be room, where that was `proven`. `pins` are the pins of
    all of these, of which one has to come off unless something is added.
    """

    case_id: str
    beside: tuple[str, ...] = ()
    pins: tuple[str, ...] = ()
    proven: bool = True
    sentences: tuple[Say, ...]


def conflicts(
    plan_input: PlanInput, plan: Plan, *, effort: float = RELIEF_EFFORT
) -> tuple[Conflict, ...]:
    """Return why cases that have to stay in are not in the plan, most need first."""
    rows = canonical(plan_input)
    cases = by_id(rows.cases)
    names = (rows.pinned_in | forced(rows)) - {*plan.case_ids}
    ordered = sorted(names, key=lambda name: (-_need(cases.get(name)), name))
    return tuple(_conflict(rows, plan, name, effort) for name in ordered[:MOST])


def _need(case: Case | None) -> int:
    return case.need_weight if case else 0


def _conflict(rows: PlanInput, plan: Plan, name: str, effort: float) -> Conflict:
    case = by_id(rows.cases).get(name)
    if case is None:
        text = say("{case} is pinned in, and its car is not in the shop.", case=name)
        return Conflict(case_id=name, pins=(name,), sentences=(text,))
    if barred(rows, case):
        text = say("{case} is pinned in, and can't be planned yet.", case=name)
        return Conflict(
            case_id=name, pins=(name,), sentences=(text, *([case.hold] if case.hold else []))
        )
    kept = tuple(sorted(forced(rows) & {*plan.case_ids}))
    bench = Bench(plan_input=rows, kept=kept, case_id=name, hints=plan.cases, effort=effort)
    fits = bench.holds()
    if fits is not False:
        return Conflict(
            case_id=name,
            pins=_pins(rows, [name]),
            proven=False,
            sentences=(_open(rows, name, fits=bool(fits)),),
        )
    beside = _beside(bench)
    return Conflict(
        case_id=name,
        beside=beside,
        pins=_pins(rows, [name, *beside]),
        sentences=(_clash(rows, name, beside), *_lacks(bench)),
    )


def _pins(rows: PlanInput, names: Collection[str]) -> tuple[str, ...]:
    return tuple(sorted(rows.pinned_in.intersection(names)))


def _beside(bench: Bench) -> tuple[str, ...]:
    """Return a smallest set of the kept cases that leave no room: one, or else no superfluous one.

    Those that were started or promised are let go first, since a pin can be taken off.
    """
    rows, case_id = bench.plan_input, bench.case_id
    if not _fits(bench, []):
        return ()
    for name in bench.kept:
        if not _fits(bench, [name]):
            return (name,)
    left = sorted(bench.kept, key=lambda name: (name in rows.pinned_in, name))
    for name in tuple(left):
        fewer = [other for other in left if other != name]
        if not _fits(bench, fewer):
            left = fewer
    return tuple(sorted({*left} - {case_id}))


def _fits(bench: Bench, others: Collection[str]) -> bool:
    """Return whether the case may fit beside others: False only where that it doesn't is proven."""
    wanted = {bench.case_id, *others}
    cases = [case for case in bench.hints if case.case_id in wanted]
    return fit(bench.plan_input, wanted, cases, bench.effort).fits is not False


def _open(rows: PlanInput, name: str, *, fits: bool) -> Say:
    why = _why(rows, name)
    if fits:
        return say(
            "{case} {why}, and would fit: the search ended before it was found. Compute again.",
            case=name,
            why=why,
        )
    return say(
        "{case} {why}, and was not found to fit with the effort spent; it may fit all the same.",
        case=name,
        why=why,
    )


def _clash(rows: PlanInput, name: str, beside: Collection[str]) -> Say:
    why = _why(rows, name)
    if not beside:
        return say(
            "{case} {why}, and can't go home within these weeks even by itself.", case=name, why=why
        )
    pinned = [other for other in beside if other in rows.pinned_in]
    others = [other for other in beside if other not in rows.pinned_in]
    groups = [_group(pinned, pinned=True)] if pinned else []
    groups += [_group(others, pinned=False)] if others else []
    both = (
        groups[0]
        if len(groups) == 1
        else say("{pins}, and {others}", pins=groups[0], others=groups[1])
    )
    return say("{case} {why}, and can't go home beside {others}.", case=name, why=why, others=both)


def _group(names: Collection[str], *, pinned: bool) -> Say:
    cases, one = case_list([*names]), len(names) == 1
    if pinned and one:
        return say("{cases}, which is pinned in too", cases=cases)
    if pinned:
        return say("{cases}, which are pinned in too", cases=cases)
    if one:
        return say("{cases}, which was started or promised", cases=cases)
    return say("{cases}, which were started or promised", cases=cases)


def _why(rows: PlanInput, name: str) -> Say:
    if name in rows.pinned_in:
        return say("is pinned in")
    return say("was started or promised")


def _lacks(bench: Bench) -> Iterator[Say]:
    """Yield the least that would make room for the case beside all that has to stay in."""
    mix, rows = cheapest_mix(bench), bench.plan_input
    if mix.addition is None:
        for reason in never_fits(rows, bench.row, proven=mix.verified):
            yield say("It {reason}.", reason=reason)
        return
    lacks = lacking(mix.addition, parts_of(rows.items), least=mix.verified)
    if bench.kept:
        yield say("Beside all that has to stay in it {lacks}.", lacks=lacks)
    else:
        yield say("It {lacks}.", lacks=lacks)
