"""Changing repair items: adding, ordering, ranking, estimating, and marking them done."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F

from shared.audit.actions import log_event
from vehicles.intake.actions import ask_for_ranks
from vehicles.intake.models import Intake
from vehicles.repairs import prerequisites
from vehicles.repairs.estimate import simulate
from vehicles.repairs.models import Estimate, EstimateLine, Need, Prerequisite, RepairItem
from vehicles.repairs.queries import (
    cost_points,
    estimate_items,
    minute_items,
    rank_item,
    with_work,
)
from vehicles.repairs.ranking import rank
from vehicles.repairs.states import ItemState, NeedState

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Iterable

    from django.db.models import QuerySet

    from shared.accounts.models import Program, User
    from vehicles.inspection.models import Finding
    from vehicles.repairs.ranking import Ranked

DRAWS = 2_000  # the 80 percent point moves by 0.5 percent with so many (algorithms, section 4.1)
RANKED_FIELDS = [
    "cell",
    "tier",
    "points",
    "index_tenths",
    "tier_because",
    "net_cost_cents",
]


@transaction.atomic
def add_item(*, intake: Intake, findings: Iterable[Finding], by: User, **fields: Any) -> RepairItem:
    """Add an open item that clears findings of the same stay.

    Raises:
        ValidationError: the stay has ended, a field is not possible, the same work is open
            already, or a finding belongs to another stay.
    """
    intake = Intake.objects.select_for_update().get(pk=intake.pk)
    _refuse_ended(intake)
    title = str(fields.get("title", "")).strip()
    if RepairItem.objects.open().filter(intake=intake, title__iexact=title).exists():
        raise ValidationError({"title": f"“{title}” is on the list already."})
    found = list(findings)
    if any(finding.intake_id != intake.pk for finding in found):
        raise ValidationError({"findings": "A finding of another stay can't be cleared here."})
    item = RepairItem(program_id=intake.program_id, intake=intake, **fields)
    item.full_clean()
    item.save()
    item.findings.set(found)
    ask_for_ranks(intake)
    log_event(item, "A repair item was added.", by=by)
    return item


@transaction.atomic
def require_first(*, item: RepairItem, first: RepairItem, by: User) -> Prerequisite:
    """Put one item before another of the same car.

    Raises:
        ValidationError: the items belong to different stays, one is not open, the order is on
            record, or an item would need itself.
    """
    for name, one in (("item", item), ("first", first)):
        if one.state != ItemState.OPEN:
            raise ValidationError({name: f"“{one.title}” is {one.state} already."})
    if item.intake_id != first.intake_id:
        raise ValidationError({"first": "Both items have to be on the same car."})
    # Two orders recorded at once could close a circle that neither of them sees.
    Intake.objects.select_for_update().get(pk=item.intake_id)
    rows = Prerequisite.objects.filter(item__intake_id=item.intake_id)
    needs: dict[int, set[int]] = {item.pk: {first.pk}}
    for item_id, first_id in rows.values_list("item_id", "first_id"):
        needs.setdefault(item_id, set()).add(first_id)
    names = dict(RepairItem.objects.filter(intake_id=item.intake_id).values_list("pk", "title"))
    for problem in prerequisites.check(needs, names):
        raise ValidationError({"first": str(problem.sentence)})
    row = Prerequisite(program_id=item.program_id, item=item, first=first)
    row.full_clean()
    row.save()
    log_event(item, "The order of work was changed.", by=by, fields=["prerequisites"])
    return row


@transaction.atomic
def mark_done(*, item: RepairItem, on: dt.date, by: User) -> RepairItem:
    """Mark an item done and clear its findings, unless another open item is to clear them too.

    Raises:
        ValidationError: the item is not open, the day is before the car came, the stay has ended,
            or what has to come first is still open.
    """
    item = RepairItem.objects.select_for_update().select_related("intake").get(pk=item.pk)
    _refuse_ended(item.intake)
    if on < item.intake.arrived_on:
        raise ValidationError("The work can't be done before the car came.")
    if item.state != ItemState.OPEN:
        raise ValidationError(f"“{item.title}” is {item.state} already.")
    waiting = item.prerequisites.filter(state=ItemState.OPEN)
    if waiting:
        raise ValidationError(f"“{waiting[0].title}” has to be done before “{item.title}”.")
    item.state, item.done_on, item.version = ItemState.DONE, on, item.version + 1
    item.full_clean(exclude=["intake"])
    item.save(update_fields=["state", "done_on", "version"])
    cleared = item.findings.filter(cleared_on=None, withdrawn_because="")
    for finding in cleared.exclude(items__state=ItemState.OPEN):
        finding.cleared_on = on
        finding.version += 1
        finding.save(update_fields=["cleared_on", "version"])
    # What the work lacked it no longer lacks, so that nobody is asked for the part any more.
    item.needs.open().update(state=NeedState.FILLED, version=F("version") + 1)
    ask_for_ranks(item.intake)
    log_event(item, "The item was done.", by=by)
    return item


def _refuse_ended(intake: Intake) -> None:
    if intake.left_on:
        raise ValidationError("This stay has ended. Open a new intake to work on the car again.")


def rank_items(
    *, program: Program, given: Collection[int], cents_per_hour: int, today: dt.date
) -> int:
    """Compute tier, points and index of all open items, and return how many there are.

    `given` are needs for which a sponsor's part is kept; they cost no cash. The tier of an item is
    written to its needs too, which is what sponsors read.
    """
    items = RepairItem.objects.open().filter(program=program)
    return _rank(items, given, cents_per_hour, today)


def rank_stay(
    *, intake: Intake, given: Collection[int], cents_per_hour: int, today: dt.date
) -> int:
    """Compute the same as `rank_items` for one stay, and return how many items it has open."""
    items = RepairItem.objects.open().filter(intake=intake)
    return _rank(items, given, cents_per_hour, today)


def _rank(
    rows: QuerySet[RepairItem], given: Collection[int], cents_per_hour: int, today: dt.date
) -> int:
    items = list(with_work(rows))
    by_intake: dict[int, list[RepairItem]] = {}
    for item in items:
        by_intake.setdefault(item.intake_id, []).append(item)
    needs: list[Need] = []
    for group in by_intake.values():
        facts = [rank_item(item, given, cents_per_hour, today) for item in group]
        ranked = {one.id: one for one in rank(facts, group[0].intake.miles_per_week)}
        for item, row in zip(group, facts, strict=True):
            _take_over(item, ranked[item.pk], row.net_cost_cents)
            needs.extend(_with_tier(item))
    with transaction.atomic():
        RepairItem.objects.bulk_update(items, RANKED_FIELDS, batch_size=500)
        Need.objects.bulk_update(needs, ["tier"], batch_size=500)
    return len(items)


def _take_over(item: RepairItem, ranked: Ranked, net_cost_cents: int) -> None:
    item.cell, item.tier = ranked.cell, ranked.tier
    item.points, item.index_tenths = ranked.points, ranked.index_tenths
    item.tier_because = str(ranked.steps[0])
    item.net_cost_cents = net_cost_cents


def _with_tier(item: RepairItem) -> list[Need]:
    needs = list(item.needs.all())
    for need in needs:
        need.tier = item.tier
    return needs


def make_estimate(
    *, intake: Intake, given: Collection[int], cents_per_hour: int, by: User | None
) -> Estimate:
    """Simulate what the open items of a stay will cost and write it as the next version.

    The seed is the stay, so that a figure doesn't jump between two looks at the same facts. When
    nothing has changed since the last version, that one is returned.
    """
    items = list(with_work(RepairItem.objects.open().filter(intake=intake)))
    money = simulate(estimate_items(items, given, cents_per_hour), DRAWS, intake.pk)
    minutes = simulate(minute_items(items), DRAWS, intake.pk)
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
    lines = [
        _line(estimate, item, cost_points(item, given, cents_per_hour), money.spread[item.pk])
        for item in items
    ]
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


def _line(
    estimate: Estimate, item: RepairItem, points: tuple[int, int, int], p80_cents: int
) -> EstimateLine:
    low, likely, high = points
    return EstimateLine(
        program_id=estimate.program_id,
        estimate=estimate,
        item=item,
        low_cents=low,
        likely_cents=likely,
        high_cents=high,
        p80_cents=p80_cents,
    )
