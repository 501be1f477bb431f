"""Why a case waits, what would bring it in, and whom it would displace.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> from program.planning.selection import select
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = tuple(Case(id=name, need_weight=weight, uses={"minutes": minutes})
...              for name, weight, minutes in [("a", 6, 90), ("b", 5, 40), ("c", 3, 60)])
>>> given = PlanInput(weeks=(week,), cases=rows)
>>> why = why_not(given, select(given), "a")
>>> str(why.lacks), str(why.swap.sentence)
('lacks 1:30 hours of shop time', 'Taking it in would leave out b and c: 2 points less of need.')
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from program.planning.canonical import canonical
from program.planning.choosing import Start, choose, surely, taking
from program.planning.demand import demands, forced, parts_of
from program.planning.hints import hint_of
from program.planning.joining import RELIEF_EFFORT, Bench
from program.planning.mixing import cheapest_mix
from program.planning.relief import Extra, single_extras
from program.planning.selection import select
from program.planning.solving import EFFORT
from program.planning.wording import lacking, never_fits, swapped, which_funds

if TYPE_CHECKING:
    from program.planning.plan import Addition, Plan
    from program.planning.problem import PlanInput
    from program.planning.trying import Change
    from shared.say import Say


@dataclass(frozen=True, kw_only=True)
class Swap:
    """What taking a case in would cost the others. A loss of 0 is a tie."""

    displaced: tuple[str, ...]
    loss: int
    sentence: Say


@dataclass(frozen=True, kw_only=True)
class WhyNot:
    """Why one case waits. `lacks` completes “26-046 …”; `reasons` are whole sentences.

    `extras` is the least of each single thing, `addition` the cheapest mix, both with every chosen
    case kept. `verified`: the mix was solved again, and with one unit less of each; or it was
    proven that no mix brings the case in. `changes` is the mix, to be tried.
    """

    case_id: str
    lacks: Say
    reasons: tuple[Say, ...] = ()
    extras: tuple[Extra, ...] = ()
    addition: Addition | None = None
    changes: tuple[Change, ...] = ()
    swap: Swap | None = None
    verified: bool = True


def why_not(
    plan_input: PlanInput, plan: Plan, case_id: str, *, effort: float = RELIEF_EFFORT
) -> WhyNot:
    """Return what keeps a case out of a plan.

    Raises:
        ValueError: there is no such case, or it goes home by this plan.
    """
    rows = canonical(plan_input)
    row = next((row for row in demands(rows) if row.case.id == case_id), None)
    if row is None or plan.case(case_id):
        raise ValueError(f"{case_id} is no case that waits in this plan.")
    if row.case.hold is not None:
        return WhyNot(case_id=case_id, lacks=row.case.hold)
    rows = replace(rows, pinned_out=rows.pinned_out - {case_id})
    bench = Bench(
        plan_input=rows, kept=plan.case_ids, case_id=case_id, hints=plan.cases, effort=effort
    )
    mix = cheapest_mix(bench)
    if mix.addition is None:
        reasons = never_fits(rows, row, proven=mix.verified)
        return WhyNot(case_id=case_id, lacks=reasons[0], verified=mix.verified)
    return WhyNot(
        case_id=case_id,
        lacks=lacking(mix.addition, parts_of(rows.items), least=mix.verified),
        reasons=which_funds(rows, plan, row) if mix.addition.cents else (),
        extras=single_extras(bench) if mix.changes else (),
        addition=mix.addition,
        changes=mix.changes,
        swap=_swap(rows, plan, case_id, effort),
        verified=mix.verified,
    )


def _swap(rows: PlanInput, plan: Plan, case_id: str, effort: float) -> Swap | None:
    """Return what is lost when the case is taken in and nothing is added."""
    stay = {*forced(rows) & {*plan.case_ids}, case_id}
    pinned = replace(rows, pinned_in=rows.pinned_in | {case_id})
    start = Start(rows=pinned, plan=plan, prices=taking(hint_of(pinned), stay))
    found = choose(start, surely(pinned, stay), effort=effort)
    if found.value is None:
        return None
    displaced = tuple(name for name in plan.case_ids if name not in found.case_ids)
    loss = plan.value - found.value
    return Swap(displaced=displaced, loss=loss, sentence=swapped(displaced, loss))


def pin_cost(plan_input: PlanInput, plan: Plan, *, effort: float = EFFORT) -> int:
    """Return the need weight that the pins of the input cost against a plan without them."""
    free = replace(plan_input, pinned_in=frozenset(), pinned_out=frozenset())
    return select(free, effort=effort).value - plan.value
