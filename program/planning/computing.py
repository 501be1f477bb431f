"""Computing a plan: the slow part, outside any transaction. Writes nothing."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from program.households.stages import add_business_days
from program.planning.asking import ASKS, ask_bounds, ask_first
from program.planning.boarding import (
    board_of,
    first_days,
    last_day,
    slot_to_json,
    stays_of,
    without_room,
)
from program.planning.bundles import ask_bundles, ask_hours
from program.planning.changes import compare
from program.planning.conflicts import conflicts
from program.planning.costing import cost_of
from program.planning.equivalents import same_in_cash
from program.planning.explain import pin_cost, why_not
from program.planning.outcome import Clash, FundUse, Home, Outcome, Wait, Wanted, WeekUse
from program.planning.problem import BAY_DAYS, LIFT_DAYS, MINUTES, by_id
from program.planning.queries import minutes_to_spare, set_aside_by_fund
from program.planning.relief import told
from program.planning.selection import first, select
from program.planning.shortages import lacks_at_once
from program.planning.solving import Patient
from shared.policy.queries import policies
from vehicles.shop import models as shop

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping, Sequence

    from program.days.bookings import Board
    from program.planning.asking import Ask
    from program.planning.plan import Plan, PlannedCase
    from program.planning.problem import PlanInput
    from program.planning.solving import Watch
    from shared.accounts.models import Program
    from shared.problems import Problem
    from shared.say import Say

SMALL = 40  # cases: so few are asked about exactly at once
CASH = 5  # parts told with the money that would do the same
EXPLAINED = 12  # so many waiting cases of a small program are explained exactly at once
NAMED_ITEMS = 2  # so many items are named in the line of a case; the rest are counted


def compute(program: Program, plan_input: PlanInput, watch: Watch | None = None) -> Outcome:
    """Return the best plan for an input with its explanations, laid out on the program's bays.

    `watch` hears how far it is, and may end the search early.
    """
    heard = watch or Patient()
    quick = first(plan_input)
    heard.tell(2, f"A first plan: cars {len(quick.cases)}, need {quick.value} of {quick.bound}")
    plan = select(plan_input, watch=heard)
    heard.tell(90, "Bays and reasons")
    bays = {str(bay.pk): bay.name for bay in shop.Bay.objects.filter(program=program)}
    board = board_of(program, plan_input, plan)
    heard.tell(94, "Reasons and what to ask for")
    clashes = tuple(_clashes(plan_input, plan))
    cost = cost_of(program, plan, seed=plan_input.weeks[0].starts_on.toordinal())
    return Outcome(
        plan=plan,
        homes=tuple(_homes(program, plan_input, plan, board)),
        waits=tuple(_waits(plan_input, plan)),
        wanted=tuple(_wanted(_asks_at_once(program, plan_input, plan))),
        stays=tuple(stays_of(board, bays)),
        slots=tuple(map(slot_to_json, board.slots)),
        weeks=tuple(_weeks(plan_input, plan)),
        funds=tuple(_funds(plan_input, plan, set_aside_by_fund(program))),
        problems=tuple(_problems(plan, board, clashes)),
        clashes=clashes,
        cost_p50=cost.p50,
        cost_p80=cost.p80,
        pins_cost=_pins_cost(plan_input, plan),
        changes=tuple(str(sentence) for sentence in _changes(plan_input, plan)),
    )


def _homes(program: Program, plan_input: PlanInput, plan: Plan, board: Board) -> Iterable[Home]:
    """Yield the cases that go home, soonest first.

    The last day leaves room for the 80 percent point of the labor, and never less than a day.
    """
    cases, items = by_id(plan_input.cases), by_id(plan_input.items)
    spare, begins = minutes_to_spare(program, plan.case_ids), first_days(board)
    found = []
    for planned in plan.cases:
        first_on, from_on = _days(plan_input, planned)
        if planned.case_id in board.ready:
            first_on = begins[planned.case_id]
            from_on = add_business_days(board.ready[planned.case_id], 1)
        elif planned.case_id in without_room(board):
            from_on = add_business_days(last_day(plan_input), 1)  # nothing sooner can be promised
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


def _days(plan_input: PlanInput, planned: PlannedCase) -> tuple[dt.date, dt.date]:
    """Return the first day of its first week and the last of its last, where no day is laid out."""
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
    """Yield the cases that wait, most need first; in a small program with what would bring them in.

    The others are explained exactly when somebody asks.
    """
    cases = by_id(plan_input.cases)
    explained = EXPLAINED if len(cases) <= SMALL else 0  # one takes half a minute among 300
    for number, lack in enumerate(lacks_at_once(plan_input, plan)):
        if number < explained or lack.held:
            yield waiting(plan_input, plan, lack.case_id)
        else:
            yield Wait(
                case_id=lack.case_id,
                name=cases[lack.case_id].label,
                need_weight=lack.need_weight,
                lacks=str(lack.lacks),
                exact=False,
            )


def waiting(plan_input: PlanInput, plan: Plan, case_id: str) -> Wait:
    """Return why one case waits in a plan, and the least that would bring it in."""
    case = by_id(plan_input.cases)[case_id]
    why = why_not(plan_input, plan, case_id)
    extras = told(why.extras)
    return Wait(
        case_id=case.id,
        name=case.label,
        need_weight=case.need_weight,
        lacks=str(why.lacks),
        held=case.hold is not None,
        reasons=tuple(map(str, (*why.reasons, *extras))),
        swap=str(why.swap.sentence) if why.swap else "",
        proven=why.verified,
    )


def _wanted(asks: Iterable[Ask]) -> Iterable[Wanted]:
    for ask in asks:
        yield Wanted(
            need_id=int(ask.need_id.partition(".")[0]),  # a unit of a need is “12.1”
            label=ask.label,
            sentence=str(ask.sentence),
            freed=ask.freed,
            weight=ask.gain or ask.bound,
            cents_saved=ask.cents_saved,
            exact=ask.exact,
        )


def _weeks(plan_input: PlanInput, plan: Plan) -> Iterable[WeekUse]:
    for number, week in enumerate(plan_input.weeks):
        yield WeekUse(
            starts_on=week.starts_on,
            minutes_there=week.capacity.get(MINUTES, 0),
            minutes_used=plan.used(number, MINUTES),
            bay_days_there=week.capacity.get(BAY_DAYS, 0),
            bay_days_used=plan.used(number, BAY_DAYS),
            lift_days_there=week.capacity.get(LIFT_DAYS, 0),
            lift_days_used=plan.used(number, LIFT_DAYS),
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


def _asks_at_once(program: Program, plan_input: PlanInput, plan: Plan) -> Sequence[Ask]:
    """Return what to ask for first: exactly for a small program, else the most it could free."""
    floor = _ask_floor(program)
    if len(plan_input.cases) <= SMALL:
        return ask_first(plan_input, plan, ask_floor_cents=floor)
    return ask_bounds(plan_input, plan, ask_floor_cents=floor)[:ASKS]


def settled(
    program: Program, plan_input: PlanInput, plan: Plan, watch: Watch
) -> tuple[list[Wanted], list[str]]:
    """Return what to ask for first, exactly, or as far as nobody asked to stop; and other help.

    The best parts are told with the money that would do the same. Other help is parts of one car
    that only together free it, and hours or a lift, in sentences.
    """
    floor = _ask_floor(program)
    asks = ask_first(plan_input, plan, ask_floor_cents=floor, watch=watch)
    cash = {ask.kind: same_in_cash(plan_input, plan, ask) for ask in asks[:CASH] if ask.gain}
    wanted = [
        replace(row, cash=str(cash[ask.kind].sentence) if ask.kind in cash else "")
        for ask, row in zip(asks, _wanted(asks), strict=True)
    ]
    freed = {name for ask in asks for name in ask.freed}
    best = max((ask.gain for ask in asks), default=0)
    bundles = ask_bundles(plan_input, plan, freed=freed, watch=watch)
    hours = ask_hours(plan_input, plan, part_gain=best, watch=watch)
    return wanted, [
        str(one) for one in (*(b.sentence for b in bundles), *(h.sentence for h in hours))
    ]


def _ask_floor(program: Program) -> int:
    return policies(program, program.today())["ask_floor_cents"]


def _changes(plan_input: PlanInput, plan: Plan) -> Iterable[Say]:
    """Return how the plan differs from the one in force; nothing before the first."""
    return compare(plan_input.prior, plan, plan_input) if plan_input.prior else ()


def _clashes(plan_input: PlanInput, plan: Plan) -> Iterable[Clash]:
    for row in conflicts(plan_input, plan):
        yield Clash(case_id=row.case_id, sentences=tuple(map(str, row.sentences)), pins=row.pins)


def _problems(plan: Plan, board: Board, clashes: Iterable[Clash]) -> Iterable[str]:
    """Yield what else a person must know: what a clash tells is not told twice."""
    told = {clash.case_id for clash in clashes}
    yield from _sentences(*(one for one in plan.problems if one.where not in told))
    yield from _sentences(*board.problems)


def _sentences(*problems: Problem) -> Iterable[str]:
    for problem in problems:
        yield f"{problem.sentence} {problem.remedy}".strip()
