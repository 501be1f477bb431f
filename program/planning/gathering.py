"""Everything a plan is computed from, read in a fixed number of queries."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db.models import Prefetch

from program.cases.models import Case
from program.households.stages import Stage
from program.planning import problem
from program.planning.capacity import SPACES, capacity
from program.planning.itemizing import Facts, group_of, plan_items
from program.planning.models import Pin
from program.planning.problem import MINUTES, PlanInput
from program.planning.queries import Payable, plan_funds, set_aside_by_item
from program.planning.states import PinDirection
from shared.dates import DAYS_A_WEEK, add_weeks
from shared.money import usd
from shared.people.may import ROAD_TEST, SIGN_OFF
from shared.policy.queries import policies
from shared.problems import blockers
from shared.say import Say, say
from sponsors.matching.queries import serving, standing_reservations, usable_supplies
from sponsors.pledges.states import SupplyState
from vehicles.custody.acts import Act
from vehicles.custody.conditions import Mobility, Step
from vehicles.custody.queries import authorities
from vehicles.intake.models import Intake
from vehicles.repairs.models import RepairItem
from vehicles.repairs.queries import acts_of, after_causes, open_parts, with_work

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping, Sequence

    from program.planning.plan import Plan
    from shared.accounts.models import Program
    from shared.people.may import Act as Work
    from sponsors.pledges.models import Supply

BEGUN = frozenset({Step.REPAIR, Step.SUBLET, Step.FINAL_INSPECTION})
HERE = BEGUN | {Step.ON_LOT, Step.ASSESSMENT, Step.AWAITING_PARTS}
FINAL = "final inspection"


def gather(
    program: Program, *, first_week_on: dt.date, weeks: int, prior: Plan | None = None
) -> PlanInput:
    """Return the input of a plan for the weeks from a Monday on."""
    supplies = usable_supplies(program, first_week_on)
    facts = _facts(program, first_week_on, weeks, supplies)
    rules, planned = facts.rules, [(case, plan_items(facts, case)) for case in facts.cases]
    pins = Pin.objects.filter(program=program, ended_at=None).select_related("case")
    return PlanInput(
        weeks=facts.capacity.weeks,
        cases=tuple(_plan_case(facts, case, rows) for case, rows in planned),
        items=tuple(row for _, rows in planned for row in rows),
        funds=tuple(plan_funds(program, _payable(facts))),
        supplies=tuple(_plan_supply(facts, supply) for supply in supplies),
        pinned_in=_pinned(pins, PinDirection.IN),
        pinned_out=_pinned(pins, PinDirection.OUT),
        prior=prior,
        reserve_percent=rules["supplement_percent"],
        bay_day_minutes=rules["bay_day_minutes"],
        extras_cents=rules["extras_cents"],
        gift_week=min(rules["part_arrival_days"] // DAYS_A_WEEK, weeks - 1),
    )


def _facts(
    program: Program, first_week_on: dt.date, weeks: int, supplies: Sequence[Supply]
) -> Facts:
    rules = policies(program, first_week_on)
    cases = list(_open_cases(program))
    intakes = {case.pk: case.vehicle.intakes.all()[0] for case in cases if case.vehicle}
    items = _items(intakes)
    first, unrepaired = after_causes(item for rows in items.values() for item in rows)
    return Facts(
        first_week_on=first_week_on,
        weeks=weeks,
        rules=rules,
        cases=cases,
        intakes=intakes,
        items=items,
        set_aside=set_aside_by_item(program),
        serving=_serving(program, items, supplies, first_week_on),
        authorities=authorities(intakes.values(), first_week_on),
        first=first,
        unrepaired=unrepaired,
        capacity=capacity(
            program,
            first_week_on,
            weeks,
            groups=_groups(items),
            planned=[case.vehicle_id for case in cases if case.vehicle_id],
        ),
    )


def _pinned(pins: Iterable[Pin], direction: PinDirection) -> frozenset[str]:
    return frozenset(pin.case.number for pin in pins if pin.direction == direction)


def _open_cases(program: Program) -> Iterable[Case]:
    """Return the open cases of households whose car is here, with all that is asked of them."""
    stays = Intake.objects.open().prefetch_related("readings", "findings")
    return (
        Case.objects.open()
        .filter(program=program, household__isnull=False)
        .filter(vehicle__condition__step__in=HERE, vehicle__intakes__in=Intake.objects.open())
        .select_related("household", "vehicle__condition")
        .prefetch_related(Prefetch("vehicle__intakes", queryset=stays))
        .order_by("pk")
        .distinct()
    )


def _items(intakes: Mapping[int, Intake]) -> dict[int, list[RepairItem]]:
    case_of = {intake.pk: case for case, intake in intakes.items()}
    found: dict[int, list[RepairItem]] = {case: [] for case in intakes}
    for item in with_work(RepairItem.objects.open().filter(intake__in=case_of)).order_by("pk"):
        found[case_of[item.intake_id]].append(item)
    return found


def _groups(items: Mapping[int, Sequence[RepairItem]]) -> dict[str, tuple[Work, ...]]:
    """Return what each kind of work takes of who does it, under its name."""
    listed = [item for rows in items.values() for item in rows]
    groups = {group_of(item): acts_of(item) for item in listed}
    groups.pop("", None)
    return groups | {FINAL: (SIGN_OFF, ROAD_TEST)}


def _serving(
    program: Program,
    items: Mapping[int, Sequence[RepairItem]],
    supplies: Sequence[Supply],
    needed_on: dt.date,
) -> dict[int, tuple[int, ...]]:
    """Return the units that may serve each need; a confirmed one serves only its own."""
    needs = [need for rows in items.values() for item in rows for need in open_parts(item, ())]
    kept = {
        row.supply_id: row.need_id for row in standing_reservations(program) if row.confirmed_at
    }
    found = serving(needs, supplies, needed_on)
    return {
        need: tuple(unit for unit in units if kept.get(unit, need) == need)
        for need, units in found.items()
    }


def _plan_case(facts: Facts, case: Case, rows: Sequence[problem.Item]) -> problem.Case:
    household = case.household
    step = Step(case.vehicle.condition.step) if case.vehicle else Step.EXPECTED
    stays = bool(case.promised_on) or step in BEGUN
    dead = case.vehicle is not None and case.vehicle.condition.mobility == Mobility.DEAD
    final = facts.rules["final_inspection_minutes"]
    return problem.Case(
        id=case.number,
        label=str(case.household or case.vehicle),
        need_weight=household.need_weight if household else 0,
        uses={MINUTES: final, **facts.capacity.hours_for(FINAL, final)},
        stands={SPACES: 1} if dead and facts.capacity.has_spaces else {},
        stays=stays,
        hold=None if stays else _hold(facts, case, rows),
    )


def _hold(facts: Facts, case: Case, rows: Sequence[problem.Item]) -> Say | None:
    """Return why nobody may plan a case yet."""
    intake = facts.intakes[case.pk]
    if case.household and case.household.stage == Stage.DECIDING:
        return say("A person has to decide first whether it is repaired.")
    if not rows and not intake.readings.all() and not intake.findings.all():
        return say("It has not been inspected yet.")
    repair = next(one for one in facts.authorities[intake.pk] if one.act == Act.REPAIR)
    causes = [_cause_first(facts, row) for row in rows if int(row.id) in facts.unrepaired]
    for sentence in [*(one.sentence for one in blockers(repair.problems)), *causes]:
        return sentence
    cost = sum(row.cash_cents + sum(part.price_cents or 0 for part in row.parts) for row in rows)
    cap = facts.rules["case_cap_cents"]
    if cost > cap:
        return say(
            "It costs {cost} at 80 percent, above the cap of {cap}: a person has to decide.",
            cost=usd(cost),
            cap=usd(cap),
        )
    return None


def _cause_first(facts: Facts, row: problem.Item) -> Say:
    return say(
        "“{cause}” brought about what “{item}” repairs, and nobody repairs the cause.",
        cause=facts.unrepaired[int(row.id)],
        item=row.label,
    )


def _plan_supply(facts: Facts, supply: Supply) -> problem.Supply:
    days = 0
    if supply.available_on:
        days = (supply.available_on - facts.first_week_on).days
    elif supply.state != SupplyState.ON_SHELF:
        days = facts.rules["part_arrival_days"]
    source = f" of {supply.pledge.sponsor}" if supply.pledge else ""
    return problem.Supply(
        id=str(supply.pk),
        label=f"{supply.title}{source}",
        week=max(days, 0) // DAYS_A_WEEK,
    )


def _payable(facts: Facts) -> Payable:
    return Payable(
        first_on=facts.first_week_on,
        last_on=add_weeks(facts.first_week_on, facts.weeks),
        floor_cents=facts.rules["reserve_floor_cents"],
        work=[(case, item) for case in facts.cases for item in facts.items.get(case.pk, [])],
    )
