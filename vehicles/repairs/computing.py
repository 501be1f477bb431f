"""Ranking open items and estimating what they cost: figures worked out and written down."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db import transaction

from shared.audit.actions import log_event
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.intake.models import Intake
from vehicles.repairs import explain
from vehicles.repairs.costs import (
    estimate_items,
    lines_of,
    minute_items,
    rank_item,
    rates_of,
)
from vehicles.repairs.estimate import simulate
from vehicles.repairs.gathering import worst_of
from vehicles.repairs.models import Estimate, EstimateLine, Need, RepairItem
from vehicles.repairs.queries import given_of, with_work
from vehicles.repairs.ranking import rank

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Sequence

    from django.db.models import QuerySet

    from shared.accounts.models import Program, User
    from shared.say import Say
    from vehicles.inspection.models import Regrade
    from vehicles.repairs.charges import Rates
    from vehicles.repairs.costs import CashPoints
    from vehicles.repairs.ranking import Ranked

DRAWS = 2_000  # the 80 percent point moves by 0.5 percent with so many (algorithms, section 4.1)
GATED = range(2)  # the tiers that are all or nothing
RANKED_FIELDS = [
    "cell",
    "tier",
    "points",
    "index_tenths",
    "tier_because",
    "net_cost_cents",
]


def rank_items(*, program: Program, given: Collection[int], rates: Rates, today: dt.date) -> int:
    """Compute tier, points and index of all open items, and return how many there are.

    `given` are needs for which a sponsor's part is kept; they cost no cash. That is written to the
    needs, for the pages of the shop, and so is the tier of their item, which sponsors read.
    """
    items = RepairItem.objects.open().filter(program=program)
    return _rank(items, given, rates, today)


def rank_stay(*, intake: Intake, given: Collection[int], rates: Rates, today: dt.date) -> int:
    """Compute the same as `rank_items` for one stay, and return how many items it has open."""
    items = RepairItem.objects.open().filter(intake=intake)
    return _rank(items, given, rates, today)


def rank_now(intake: Intake) -> int:
    """Compute the same for one stay by today's rules and the parts known as given."""
    rates, today = rates_of(intake.program), intake.program.today()
    return rank_stay(intake=intake, given=given_of(intake), rates=rates, today=today)


def _rank(rows: QuerySet[RepairItem], given: Collection[int], rates: Rates, today: dt.date) -> int:
    items = list(with_work(rows))
    by_intake: dict[int, list[RepairItem]] = {}
    for item in items:
        by_intake.setdefault(item.intake_id, []).append(item)
    needs: list[Need] = []
    for group in by_intake.values():
        facts = [rank_item(item, given, rates, today) for item in group]
        ranked = {one.id: one for one in rank(facts, group[0].intake.miles_per_week)}
        for item, row in zip(group, facts, strict=True):
            _take_over(item, ranked[item.pk], row.net_cost_cents)
            needs.extend(_told(item, given))
    with transaction.atomic():
        RepairItem.objects.bulk_update(items, RANKED_FIELDS, batch_size=500)
        Need.objects.bulk_update(needs, ["tier", "given"], batch_size=500)
    return len(items)


def _take_over(item: RepairItem, ranked: Ranked, net_cost_cents: int) -> None:
    item.cell, item.tier = ranked.cell, ranked.tier
    item.points, item.index_tenths = ranked.points, ranked.index_tenths
    item.tier_because = str(ranked.steps[0])
    item.net_cost_cents = net_cost_cents


def _told(item: RepairItem, given: Collection[int]) -> list[Need]:
    needs = list(item.needs.all())
    for need in needs:
        need.tier, need.given = item.tier, need.pk in given
    return needs


def make_estimate(
    *, intake: Intake, given: Collection[int], rates: Rates, by: User | None
) -> Estimate:
    """Simulate what the open items of a stay will cost and write it as the next version.

    The seed is the stay, so that a figure doesn't jump between two looks at the same facts. When
    nothing has changed since the last version, that one is returned.
    """
    items = list(with_work(RepairItem.objects.open().filter(intake=intake)))
    points = lines_of(items, given, rates)
    money = simulate(estimate_items(points, rates), DRAWS, intake.pk)
    minutes = simulate(minute_items(items, rates), DRAWS, intake.pk)
    estimate = Estimate(
        program_id=intake.program_id,
        intake=intake,
        mean_cents=money.mean,
        p50_cents=money.p50,
        p80_cents=money.p80,
        p80_minutes=minutes.p80,
        draws=DRAWS,
        seed=intake.pk,
        made_by=by,
    )
    lines = [_line(estimate, item, points[item.pk], money.spread[item.pk]) for item in items]
    return _next_version(estimate, lines)


@transaction.atomic
def _next_version(estimate: Estimate, lines: list[EstimateLine]) -> Estimate:
    """Write the estimate under the next number, or return the last when it says the same."""
    Intake.objects.select_for_update().get(pk=estimate.intake_id)
    last = Estimate.objects.filter(intake=estimate.intake).first()
    if last and _says_the_same(last, estimate, lines):
        return last
    estimate.number = last.number + 1 if last else 1
    estimate.full_clean()
    estimate.save()
    EstimateLine.objects.bulk_create(lines)
    log_event(estimate, "An estimate was made.", by=estimate.made_by)
    return estimate


def _says_the_same(last: Estimate, new: Estimate, lines: list[EstimateLine]) -> bool:
    """Return whether two estimates agree in the points of the whole and of every item."""
    points = ("mean_cents", "p50_cents", "p80_cents", "p80_minutes")
    if any(getattr(last, name) != getattr(new, name) for name in points):
        return False
    values = ("item_id", "low_cents", "likely_cents", "high_cents")
    before = set(last.lines.values_list(*values))
    return before == {tuple(getattr(line, name) for name in values) for line in lines}


def _line(estimate: Estimate, item: RepairItem, points: CashPoints, p80_cents: int) -> EstimateLine:
    low, likely, high = (one.work for one in points)
    return EstimateLine(
        program_id=estimate.program_id,
        estimate=estimate,
        item=item,
        low_cents=low,
        likely_cents=likely,
        high_cents=high,
        p80_cents=p80_cents,
    )


@dataclass(frozen=True, kw_only=True)
class RankRow:
    """One open item with what the rule says of it, step by step, and who raised a class."""

    item: RepairItem
    ranked: Ranked
    worst: DeficiencyClass
    steps: tuple[Say, ...]
    accepted: Say
    raised: tuple[Regrade, ...]
    net_cost_cents: int


@dataclass(frozen=True, kw_only=True)
class RankPage:
    """The open items of a stay in their order, the risk table they stand in, and the gate."""

    rows: tuple[RankRow, ...]
    table: tuple[explain.Row, ...]
    gate: Say
    gated: int


def rank_page(intake: Intake) -> RankPage:
    """Return the open items of a stay as the rule ranks them now; nine queries in all."""
    rates, today = rates_of(intake.program), intake.program.today()
    given = given_of(intake)
    rows = RepairItem.objects.open().filter(intake=intake)
    items = {item.pk: item for item in with_work(rows).prefetch_related("findings__regrades__by")}
    facts = {pk: rank_item(item, given, rates, today) for pk, item in items.items()}
    miles = intake.miles_per_week
    ranked = rank(list(facts.values()), miles)
    gated = [items[one.id] for one in ranked if one.tier in GATED]
    return RankPage(
        rows=tuple(
            RankRow(
                item=items[one.id],
                ranked=one,
                worst=worst_of(items[one.id]),
                steps=explain.explain(facts[one.id], one, miles),
                accepted=explain.accepted(one),
                raised=_raised(items[one.id]),
                net_cost_cents=facts[one.id].net_cost_cents,
            )
            for one in ranked
        ),
        table=explain.table(ranked),
        gate=explain.gate(len(gated), _p80(gated, given, rates, intake.pk)),
        gated=len(gated),
    )


def _p80(items: Sequence[RepairItem], given: Collection[int], rates: Rates, seed: int) -> int:
    if not items:
        return 0
    return simulate(estimate_items(lines_of(items, given, rates), rates), DRAWS, seed).p80


def _raised(item: RepairItem) -> tuple[Regrade, ...]:
    """Return the changes that made the class of a finding worse and still count: the last ones."""
    return tuple(
        row
        for finding in item.findings.all()
        for row in [one for one in finding.regrades.all() if _applied(one)][-1:]
        if DeficiencyClass(row.becomes).worse_than(DeficiencyClass(row.was))
    )


def _applied(row: Regrade) -> bool:
    return not row.waits and not row.refused_because
