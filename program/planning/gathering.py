"""Everything a plan is computed from, read in a fixed number of queries."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from django.db.models import Prefetch

from program.cases.models import Case
from program.households.stages import Stage
from program.planning import problem
from program.planning.models import Pin
from program.planning.problem import MINUTES, PartNeed, PlanInput
from program.planning.queries import Payable, open_weeks, plan_funds, set_aside_by_item
from program.planning.states import PinDirection
from shared.dates import DAYS_A_WEEK, add_weeks
from shared.money import share_out, usd
from shared.policy.queries import policies
from shared.problems import blockers
from shared.say import Say, say
from sponsors.matching.queries import serving, standing_reservations, usable_supplies
from sponsors.pledges.states import SupplyState
from vehicles.custody.acts import Act
from vehicles.custody.conditions import Step
from vehicles.custody.queries import authorities
from vehicles.intake.models import Intake
from vehicles.repairs.charges import Rates
from vehicles.repairs.costs import need_points, work_points
from vehicles.repairs.estimate import EstimateItem, simulate
from vehicles.repairs.models import RepairItem
from vehicles.repairs.queries import after_causes, open_parts, with_work

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from program.planning.plan import Plan
    from shared.accounts.models import Program
    from sponsors.pledges.models import Supply
    from vehicles.custody.authority import Authority
    from vehicles.repairs.models import Need

BEGUN = frozenset({Step.REPAIR, Step.SUBLET, Step.FINAL_INSPECTION})
HERE = BEGUN | {Step.ON_LOT, Step.ASSESSMENT, Step.AWAITING_PARTS}
DRAWS = 2_000  # approval computes the input again while a person waits; more move it by 3 in 1,000


@dataclass(frozen=True, kw_only=True)
class _Facts:
    """What every part of the input asks for."""

    first_week_on: dt.date
    weeks: int
    rules: Mapping[str, int]
    cases: Sequence[Case]
    intakes: Mapping[int, Intake]  # by case
    items: Mapping[int, Sequence[RepairItem]]  # by case
    set_aside: Mapping[int, int]  # cents by item
    serving: Mapping[int, Sequence[int]] = field(default_factory=dict)  # supplies by need
    authorities: Mapping[int, Sequence[Authority]] = field(default_factory=dict)  # by intake
    first: Mapping[int, Collection[int]] = field(default_factory=dict)  # causes before effects
    unrepaired: Mapping[int, str] = field(default_factory=dict)  # causes nobody repairs, by item


def gather(
    program: Program, *, first_week_on: dt.date, weeks: int, prior: Plan | None = None
) -> PlanInput:
    """Return the input of a plan for the weeks from a Monday on."""
    rules = policies(program, first_week_on)
    cases = list(_open_cases(program))
    intakes = {case.pk: case.vehicle.intakes.all()[0] for case in cases if case.vehicle}
    items = _items(intakes)
    supplies = usable_supplies(program, first_week_on)
    first, unrepaired = after_causes(item for rows in items.values() for item in rows)
    facts = _Facts(
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
    )
    planned = [(case, _plan_items(facts, case)) for case in cases]
    pins = Pin.objects.filter(program=program, ended_at=None).select_related("case")
    return PlanInput(
        weeks=tuple(open_weeks(program, first_week_on, weeks)),
        cases=tuple(_plan_case(facts, case, rows) for case, rows in planned),
        items=tuple(row for _, rows in planned for row in rows),
        funds=tuple(plan_funds(program, _payable(facts))),
        supplies=tuple(_plan_supply(facts, supply) for supply in supplies),
        pinned_in=_pinned(pins, PinDirection.IN),
        pinned_out=_pinned(pins, PinDirection.OUT),
        prior=prior,
        reserve_percent=rules["supplement_percent"],
        bay_day_minutes=rules["bay_day_minutes"],
        gift_week=min(rules["part_arrival_days"] // DAYS_A_WEEK, weeks - 1),
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


def _plan_case(facts: _Facts, case: Case, rows: Sequence[problem.Item]) -> problem.Case:
    household = case.household
    step = Step(case.vehicle.condition.step) if case.vehicle else Step.EXPECTED
    stays = bool(case.promised_on) or step in BEGUN
    return problem.Case(
        id=case.number,
        label=str(case.household or case.vehicle),
        need_weight=household.need_weight if household else 0,
        uses={MINUTES: facts.rules["final_inspection_minutes"]},
        stays=stays,
        hold=None if stays else _hold(facts, case, rows),
    )


def _hold(facts: _Facts, case: Case, rows: Sequence[problem.Item]) -> Say | None:
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


def _cause_first(facts: _Facts, row: problem.Item) -> Say:
    return say(
        "“{cause}” brought about what “{item}” repairs, and nobody repairs the cause.",
        cause=facts.unrepaired[int(row.id)],
        item=row.label,
    )


def _plan_items(facts: _Facts, case: Case) -> list[problem.Item]:
    """Return a case's items with every cost at its share of the case's 80 percent point."""
    rows = facts.items.get(case.pk, [])
    if not rows:
        return []
    costs = _costs(facts, case, rows)
    open_ids = {item.pk for item in rows}
    return [
        problem.Item(
            id=str(item.pk),
            case_id=case.number,
            label=item.title,
            tier=item.tier,
            points=item.points,
            cash_cents=costs[f"item {item.pk}"],
            set_aside_cents=facts.set_aside.get(item.pk, 0),
            minutes=item.labor_likely_minutes,
            prerequisites=_first(facts, item, open_ids),
            parts=tuple(
                part
                for need in open_parts(item, ())
                for part in _parts(facts, need, costs[f"need {need.pk}"])
            ),
        )
        for item in rows
    ]


def _first(facts: _Facts, item: RepairItem, open_ids: Collection[int]) -> tuple[str, ...]:
    """Return the open items that come before one: by record, or since they repair its cause."""
    on_record = {row.first_id for row in item.needs_first.all()}
    return tuple(
        sorted(str(pk) for pk in on_record | {*facts.first.get(item.pk, ())} if pk in open_ids)
    )


def _costs(facts: _Facts, case: Case, rows: Sequence[RepairItem]) -> dict[str, int]:
    """Return the cents of each item and of each need, together the 80 percent point."""
    rates = Rates.of(facts.rules)
    points: dict[str, tuple[int, int, int]] = {}
    for item in rows:
        points[f"item {item.pk}"] = work_points(item, rates)
        points |= {f"need {one.pk}": need_points(one, rates) for one in open_parts(item, ())}
    drawn = [
        EstimateItem(id=number, low=low, likely=likely, high=high)
        for number, (low, likely, high) in enumerate(points.values())
    ]
    spread = simulate(drawn, DRAWS, seed=case.pk).spread
    return {name: spread[number] for number, name in enumerate(points)}


def _parts(facts: _Facts, need: Need, cents: int) -> list[PartNeed]:
    """Return one part for each unit of a need, named for what one gift could serve."""
    facts_asked = sorted(need.fitment.items())
    own_car = () if _by_size(need) else sorted(need.car.items())
    prices = share_out(cents, [1] * need.quantity)
    return [
        PartNeed(
            id=f"{need.pk}.{number}",
            label=need.title,
            kind=f"{need.kind} {facts_asked} {own_car}",
            price_cents=None if need.price_cents is None else price,
            supply_ids=tuple(str(unit) for unit in facts.serving.get(need.pk, ())),
        )
        for number, price in enumerate(prices, start=1)
    ]


def _by_size(need: Need) -> bool:
    """Return whether a part is chosen by size, group or specification, whatever the car."""
    return any(need.fitment.get(name) for name in ("tire_size", "bci_group", "specification"))


def _plan_supply(facts: _Facts, supply: Supply) -> problem.Supply:
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


def _payable(facts: _Facts) -> Payable:
    return Payable(
        first_on=facts.first_week_on,
        last_on=add_weeks(facts.first_week_on, facts.weeks),
        floor_cents=facts.rules["reserve_floor_cents"],
        work=[(case, item) for case in facts.cases for item in facts.items.get(case.pk, [])],
    )
