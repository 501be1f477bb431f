"""Computing a plan: the slow part, outside any transaction. Writes nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.households.stages import add_business_days
from program.planning.asking import ask_first
from program.planning.bays import Bay, Stand, lay_out
from program.planning.explain import pin_cost, why_not
from program.planning.outcome import FundUse, Home, Outcome, Stay, Wait, Wanted, WeekUse
from program.planning.problem import MINUTES, by_id
from program.planning.queries import minutes_to_spare, set_aside_by_fund
from program.planning.selection import select
from vehicles.shop import models as shop

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping

    from program.planning.plan import Plan, PlannedCase
    from program.planning.problem import PlanInput
    from shared.accounts.models import Program
    from shared.problems import Problem

NAMED_ITEMS = 2  # so many items are named in the line of a case; the rest are counted


def compute(program: Program, plan_input: PlanInput) -> Outcome:
    """Return the best plan for an input with its explanations, laid out on the program's bays."""
    plan = select(plan_input)
    rows = shop.Bay.objects.filter(program=program, closed_on=None)
    board = lay_out(plan_input, plan, [Bay(id=str(bay.pk), label=bay.name) for bay in rows])
    stands = {stand.case_id: stand for stand in board.stands}
    return Outcome(
        plan=plan,
        homes=tuple(_homes(program, plan_input, plan, stands)),
        waits=tuple(_waits(plan_input, plan)),
        wanted=tuple(_wanted(plan_input, plan)),
        stays=tuple(_stays(board.stands, {str(bay.pk): bay.name for bay in rows})),
        weeks=tuple(_weeks(plan_input, plan)),
        funds=tuple(_funds(plan_input, plan, set_aside_by_fund(program))),
        problems=tuple(_sentences(*plan.problems, *board.problems)),
        pins_cost=_pins_cost(plan_input, plan),
    )


def _homes(
    program: Program, plan_input: PlanInput, plan: Plan, stands: Mapping[str, Stand]
) -> Iterable[Home]:
    """Yield the cases that go home, soonest first.

    The last day leaves room for the 80 percent point of the labor, and never less than a day.
    """
    cases, items = by_id(plan_input.cases), by_id(plan_input.items)
    spare = minutes_to_spare(program, plan.case_ids)
    found = []
    for planned in plan.cases:
        first_on, from_on = _days(plan_input, planned, stands.get(planned.case_id))
        days = 1 + -(-spare.get(planned.case_id, 0) // plan_input.bay_day_minutes)
        titles = [items[item_id].label for item_id in planned.item_ids]
        found.append(
            Home(
                case_id=planned.case_id,
                name=cases[planned.case_id].label,
                work=_work(titles),
                need_weight=cases[planned.case_id].need_weight,
                start_on=first_on,
                from_on=from_on,
                by_on=add_business_days(from_on, days),
            )
        )
    return sorted(found, key=lambda home: (home.from_on, home.case_id))


def _days(
    plan_input: PlanInput, planned: PlannedCase, stand: Stand | None
) -> tuple[dt.date, dt.date]:
    """Return the first day of work and the day after the last, or the week's where none is set."""
    if stand:
        return stand.first_on, add_business_days(stand.last_on, 1)
    return (
        plan_input.weeks[planned.start_week].days[0],
        plan_input.weeks[planned.home_week].days[-1],
    )


def _work(titles: list[str]) -> str:
    if not titles:
        return "Final inspection, papers"
    named = ", ".join(titles[:NAMED_ITEMS])
    more = len(titles) - NAMED_ITEMS
    return f"{named} and {more} more" if more > 0 else named


def _waits(plan_input: PlanInput, plan: Plan) -> Iterable[Wait]:
    """Yield the cases that wait, most need first, each with what would bring it in."""
    waiting = [case for case in plan_input.cases if plan.case(case.id) is None]
    for case in sorted(waiting, key=lambda case: (-case.need_weight, case.id)):
        why = why_not(plan_input, plan, case.id)
        yield Wait(
            case_id=case.id,
            name=case.label,
            need_weight=case.need_weight,
            lacks=str(why.lacks),
            held=case.hold is not None,
            reasons=tuple(str(reason) for reason in why.reasons),
            swap=str(why.swap.sentence) if why.swap else "",
        )


def _wanted(plan_input: PlanInput, plan: Plan) -> Iterable[Wanted]:
    for ask in ask_first(plan_input, plan):
        yield Wanted(
            need_id=int(ask.need_id.partition(".")[0]),  # a unit of a need is “12.1”
            label=ask.label,
            sentence=str(ask.sentence),
            freed=ask.freed,
            weight=ask.gain,
            cents_saved=ask.cents_saved,
        )


def _stays(stands: Iterable[Stand], names: Mapping[str, str]) -> Iterable[Stay]:
    for stand in sorted(stands, key=lambda stand: (stand.first_on, stand.case_id)):
        yield Stay(
            case_id=stand.case_id,
            bay=names[stand.bay_id],
            first_on=stand.first_on,
            last_on=stand.last_on,
        )


def _weeks(plan_input: PlanInput, plan: Plan) -> Iterable[WeekUse]:
    for number, week in enumerate(plan_input.weeks):
        yield WeekUse(
            starts_on=week.starts_on,
            minutes_there=week.capacity.get(MINUTES, 0),
            minutes_used=plan.used(number, MINUTES),
        )


def _funds(plan_input: PlanInput, plan: Plan, set_aside: Mapping[str, int]) -> Iterable[FundUse]:
    for fund in plan_input.funds:
        yield FundUse(
            code=fund.id,
            name=fund.label,
            free_cents=fund.available_cents,
            kept_cents=fund.floor_cents,
            plan_cents=plan.paid_by(fund.id),
            set_aside_cents=set_aside.get(fund.id, 0),
        )


def _pins_cost(plan_input: PlanInput, plan: Plan) -> int:
    pinned = plan_input.pinned_in or plan_input.pinned_out
    return pin_cost(plan_input, plan) if pinned else 0


def _sentences(*problems: Problem) -> Iterable[str]:
    for problem in problems:
        yield f"{problem.sentence} {problem.remedy}".strip()
