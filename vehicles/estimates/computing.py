"""The estimate of a car as it is now, and how the program's estimates came out."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Self

from shared.policy.queries import policies
from vehicles.estimates.actuals import missing_of
from vehicles.estimates.bias import bias, by_system, wait
from vehicles.estimates.changes import Told, changes
from vehicles.estimates.queries import (
    DAYS_A_YEAR,
    cash_job,
    done_items,
    labor_job,
    past_cars,
)
from vehicles.estimates.risk import SharedRisk, year
from vehicles.estimates.values import (
    CarEstimate,
    Line,
    Outlook,
    Paper,
    PartPrice,
    Record,
    Version,
)
from vehicles.intake.models import Intake
from vehicles.operations.catalogue import load
from vehicles.repairs.costs import (
    car_points,
    cost_points,
    estimate_items,
    lines_of,
    minute_items,
    minute_points,
    price_points,
    rates_of,
    saved_minutes,
)
from vehicles.repairs.estimate import SCREEN_DRAWS, simulate
from vehicles.repairs.models import RepairItem
from vehicles.repairs.overlap import Job as Access
from vehicles.repairs.overlap import shared_access
from vehicles.repairs.queries import asks_cost, given_of, with_work
from vehicles.repairs.states import NeedState

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from shared.accounts.models import Program
    from vehicles.estimates.actuals import Job
    from vehicles.estimates.bias import Bias
    from vehicles.estimates.risk import YearRisk
    from vehicles.repairs.charges import Rates
    from vehicles.repairs.costs import CashPoints
    from vehicles.repairs.models import Estimate, Need


def estimate_of(stay: Intake) -> CarEstimate:
    """Return what the open items of a stay cost by today's rule, and the versions on record."""
    rates, given = rates_of(stay.program), given_of(stay)
    rows = RepairItem.objects.open().filter(intake=stay).ranked()
    items = list(with_work(rows))
    lines = lines_of(items, given, rates)
    money = simulate(estimate_items(lines, rates), SCREEN_DRAWS, stay.pk)
    minutes = simulate(minute_items(items, rates), SCREEN_DRAWS, stay.pk)
    low, likely, high = car_points(lines.values(), rates)
    versions = versions_of(stay)
    figures = (money.p50, money.p80, minutes.p80)
    newest = versions[0] if versions else None
    return CarEstimate(
        lines=_lines(items, lines, rates, _Prices.of(stay, items, given)),
        low=low,
        likely=likely,
        high=high,
        p50_cents=money.p50,
        p80_cents=money.p80,
        p80_minutes=minutes.p80,
        shared=tuple(one.sentence for one in shared_access(map(_access, items))),
        rates=rates,
        versions=tuple(versions),
        is_current=newest is not None
        and (newest.p50_cents, newest.p80_cents, newest.p80_minutes) == figures,
    )


def _access(item: RepairItem) -> Access:
    return Access(id=item.pk, title=item.title, access=item.access, minutes=item.access_minutes)


@dataclass(frozen=True, kw_only=True)
class _Prices:
    """Against what the prices of one car are told: today, the gifts, and the oldest day."""

    today: dt.date
    given: Collection[int]
    oldest: dt.date | None

    @classmethod
    def of(cls, stay: Intake, items: Sequence[RepairItem], given: Collection[int]) -> Self:
        """Return them; there is an oldest day only where there are several."""
        days = {
            need.priced_on
            for item in items
            for need in item.needs.all()
            if need.state == NeedState.OPEN and need.priced_on and need.pk not in given
        }
        oldest = min(days) if len(days) > 1 else None
        return cls(today=stay.program.today(), given=given, oldest=oldest)


def _lines(
    items: Sequence[RepairItem],
    points: Mapping[int, CashPoints],
    rates: Rates,
    prices: _Prices,
) -> tuple[Line, ...]:
    saved, operations = saved_minutes(items), load()
    found = []
    for item in items:
        low, likely, high = points[item.pk]
        less = saved.get(item.pk, 0)
        needs = [need for need in item.needs.all() if need.state == NeedState.OPEN]
        found.append(
            Line(
                item_id=item.pk,
                title=item.title,
                low=low,
                likely=likely,
                high=high,
                likely_minutes=minute_points(item, rates, less)[1],
                saved_minutes=less,
                parts=tuple(_part(need, rates, prices) for need in needs),
                clears=tuple(one.title for one in item.findings.all()),
                operation=operations[item.operation].title if item.operation in operations else "",
            )
        )
    return tuple(found)


def _part(need: Need, rates: Rates, prices: _Prices) -> PartPrice:
    is_given = need.pk in prices.given
    age = None if need.priced_on is None else max((prices.today - need.priced_on).days, 0)
    return PartPrice(
        need_id=need.pk,
        title=need.title,
        quantity=need.quantity,
        likely_cents=0 if is_given else price_points(need, rates)[1],
        source=need.price_source,
        days=age,
        is_given=is_given,
        can_be_bought=is_given or need.price_cents is not None,
        is_oldest=not is_given and prices.oldest is not None and need.priced_on == prices.oldest,
    )


def versions_of(stay: Intake) -> list[Version]:
    """Return the versions on record, newest first, each with what it changed; three queries."""
    rows = list(stay.estimates.select_related("made_by").prefetch_related("lines__item"))
    found = []
    for at, row in enumerate(rows):
        before = rows[at + 1] if at + 1 < len(rows) else None
        found.append(
            Version(
                number=row.number,
                made_at=row.made_at,
                made_by=str(row.made_by) if row.made_by else "Handback",
                p50_cents=row.p50_cents,
                p80_cents=row.p80_cents,
                p80_minutes=row.p80_minutes,
                is_frozen=row.frozen_at is not None,
                changes=changes(_told(before), _told(row)) if before else (),
            )
        )
    return found


def _told(row: Estimate) -> Told:
    lines = {line.item_id: (line.item.title, line.likely_cents) for line in row.lines.all()}
    return Told(lines=lines, p80_cents=row.p80_cents)


def record_of(program: Program) -> tuple[Record, list[RepairItem]]:
    """Return how estimates came out, and the items behind it, newest first; five queries."""
    items = list(done_items(program))
    labor = [job for item in items if (job := labor_job(item))]
    cash = [job for item in items if (job := cash_job(item))]
    return (
        Record(
            labor=bias(labor),
            cash=bias(cash),
            labor_waits=wait(labor),
            cash_waits=wait(cash),
            systems=_systems(labor),
            missing=sum(bool(missing(item)) for item in items),
            year=_year(program, items),
        ),
        items,
    )


def missing(item: RepairItem) -> tuple[str, ...]:
    """Return what is not on record of a job that is done."""
    return missing_of(
        took_minutes=item.took_minutes, cost_cents=item.cost_cents, bought=asks_cost(item)
    )


def _systems(jobs: Sequence[Job]) -> list[tuple[str, Bias]]:
    return [(system.label, found) for system, found in by_system(jobs).items()]


def _year(program: Program, items: Sequence[RepairItem]) -> YearRisk | None:
    today = program.today()
    rules = policies(program, today)
    past = past_cars(items, rules["labor_cents_per_hour"])
    left = Intake.objects.filter(program=program, left_on__gt=today - dt.timedelta(DAYS_A_YEAR))
    if not past:
        return None
    return year(
        past,
        cars_a_year=left.count(),
        seed=program.pk,
        shared_sigma=SharedRisk.of(rules).sigma,
    )


def paper_of(stay: Intake) -> Paper | None:
    """Return the newest version for the household, or None where none says what counts now."""
    estimate = estimate_of(stay)
    if not estimate.is_current:
        return None
    newest, program = estimate.versions[0], stay.program
    return Paper(
        garage=program.name,
        car=str(stay.vehicle),
        number=f"E-{stay.pk}-{newest.number}",
        day=newest.made_at.astimezone(program.zone).date(),
        estimate=estimate,
        stop_over_percent=policies(program, program.today())["stop_over_percent"],
    )


def outlook(program: Program, record: Record) -> Outlook:
    """Return what the open items of all cars likely take and cost: as is, now, with the record."""
    now = rates_of(program)
    plain = replace(now, labor_correction_percent=100, parts_correction_percent=100)
    adopted = replace(
        plain,
        labor_correction_percent=record.labor.correction_percent if record.labor else 100,
        parts_correction_percent=record.cash.correction_percent if record.cash else 100,
    )
    rows = RepairItem.objects.open().filter(program=program, intake__left_on=None)
    items = list(rows.prefetch_related("needs"))
    given = {need.pk for item in items for need in item.needs.all() if need.given}
    three = (plain, now, adopted)
    return Outlook(
        jobs=len(items),
        minutes=tuple(sum(minute_points(one, by)[1] for one in items) for by in three),
        cents=tuple(sum(cost_points(one, given, by)[1] for one in items) for by in three),
        adopted=adopted,
    )
