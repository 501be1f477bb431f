"""Plans, the money they may spend and the time to leave, as the database holds them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from program.cases.models import Case
from program.ledger.models import Fund
from program.ledger.queries import free_cents, held, pure_fund, standing_commitments
from program.ledger.restrictions import allows
from program.ledger.spending import spends_of
from program.planning import problem
from program.planning.facts import facts_from_json
from program.planning.models import Plan
from program.planning.outcome import Outcome, Wanted
from program.planning.states import PlanState
from shared.jobs.models import Job
from vehicles.repairs.models import Estimate
from vehicles.repairs.states import ItemState

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from program.planning.problem import PlanInput
    from shared.accounts.models import Program
    from vehicles.repairs.models import RepairItem


def approved_plan(program: Program) -> Plan | None:
    """Return the plan in force, or None before the first."""
    return Plan.objects.filter(program=program, state=PlanState.APPROVED).first()


def newest_plan(program: Program) -> Plan | None:
    """Return the plan that was asked for last, neither superseded nor given up, or None."""
    over = (PlanState.SUPERSEDED, PlanState.CANCELED)
    rows = Plan.objects.filter(program=program).exclude(state__in=over)
    return rows.order_by("-number").first()


def outcome_of(plan: Plan) -> Outcome:
    """Return what was computed for a plan that is ready or approved.

    What to ask for first is the exact answer once a job has found it.
    """
    found = Outcome.from_json(plan.result)
    if "rows" not in plan.asks:
        return found
    wanted = tuple(Wanted.from_json(row) for row in plan.asks["rows"])
    return replace(found, wanted=wanted, help=tuple(plan.asks["help"]))


def job_of(plan: Plan) -> Job | None:
    """Return the job that computes a plan."""
    return Job.objects.filter(program_id=plan.program_id, key=f"plan:{plan.pk}").first()


def facts_of(plan: Plan) -> PlanInput:
    """Return what a plan was computed from; it has to have kept its facts."""
    return facts_from_json(plan.result["facts"])


def set_aside_by_fund(program: Program) -> dict[str, int]:
    """Return the cents set aside and not released, by fund code; one query."""
    found: dict[str, int] = {}
    for row in standing_commitments(program):
        found[row.fund.code] = found.get(row.fund.code, 0) + row.cents
    return found


def minutes_to_spare(program: Program, numbers: Iterable[str]) -> dict[str, int]:
    """Return, by case number, how far the 80 percent point of the labor lies above the likely.

    Read from the newest estimate of each open stay; a case without one is left out.
    """
    cars = _vehicles_by_case(program, numbers)
    rows = (
        Estimate.objects.filter(program=program, intake__left_on=None)
        .filter(intake__vehicle__in=[vehicle for _, vehicle in cars])
        .select_related("intake__vehicle")
        .prefetch_related("intake__items")
        .order_by("number")
    )
    newest = {row.intake.vehicle_id: row for row in rows}
    found = {}
    for number, vehicle in cars:
        if vehicle in newest:
            items = newest[vehicle].intake.items.all()
            likely = sum(i.labor_likely_minutes for i in items if i.state == ItemState.OPEN)
            found[number] = max(newest[vehicle].p80_minutes - likely, 0)
    return found


def _vehicles_by_case(program: Program, numbers: Iterable[str]) -> list[tuple[str, int]]:
    rows = Case.objects.open().filter(
        program=program, number__in=list(numbers), vehicle__isnull=False
    )
    return list(rows.values_list("number", "vehicle_id"))


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
        if all(allows(fund, spend) for spend in spends_of(item, case, day))
    )


def set_aside_by_item(program: Program) -> dict[int, int]:
    """Return the cents set aside by item; one query."""
    found: dict[int, int] = {}
    for row in standing_commitments(program):
        found[row.item_id] = found.get(row.item_id, 0) + row.cents
    return found
