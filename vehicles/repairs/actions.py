"""Changing repair items: added, put in order, changed, marked done, withdrawn, opened again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F
from django.utils.module_loading import import_string

from shared.audit.actions import log_event
from shared.people.queries import refuse_unless_may_all
from vehicles.custody.acts import Act
from vehicles.custody.queries import refuse_without
from vehicles.intake.actions import ask_for_ranks
from vehicles.intake.models import Intake
from vehicles.repairs.computing import make_estimate, rank_items, rank_now, rank_stay
from vehicles.repairs.models import Prerequisite, RepairItem
from vehicles.repairs.queries import acts_of, after_causes, with_work
from vehicles.repairs.states import ItemState, NeedState
from vehicles.repairs.writing import (
    new_item,
    refuse_circle,
    refuse_ended,
    refuse_same_title,
    set_findings,
    stay_at_work,
    take_proposals,
    write_parts,
)

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

    from shared.accounts.models import User
    from vehicles.inspection.models import Finding
    from vehicles.repairs.writing import PartLine

__all__ = [
    "add_item",
    "attach_finding",
    "edit_item",
    "make_estimate",
    "mark_done",
    "rank_items",
    "rank_now",
    "rank_stay",
    "reopen_item",
    "require_first",
    "take_proposals",
    "withdraw_item",
    "withdraw_items",
]

CHANGED = "Somebody else changed this item meanwhile. Look at it again, then decide."
READ_AGAIN = "The point was read again."
MOST_REASON = 200


@transaction.atomic
def add_item(*, intake: Intake, findings: Iterable[Finding], by: User, **fields: Any) -> RepairItem:
    """Add an open item that clears findings of the same stay.

    Raises:
        ValidationError: the stay has ended, a field is not possible, the same work is open
            already, or a finding belongs to another stay.
    """
    stay = stay_at_work(intake)
    item = new_item(stay, findings, **fields)
    ask_for_ranks(stay)
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
    intake = Intake.objects.select_for_update().get(pk=item.intake_id)
    refuse_circle(intake, [(item.pk, first.pk)], "first")
    row = Prerequisite(program_id=item.program_id, item=item, first=first)
    row.full_clean()
    row.save()
    log_event(item, "The order of work was changed.", by=by, fields=["prerequisites"])
    return row


@transaction.atomic
def attach_finding(*, item: RepairItem, finding: Finding, by: User) -> RepairItem:
    """Let an open item clear one more open finding of its stay; doing it twice changes nothing.

    Raises:
        ValidationError: the stay has ended, the item or the finding is not open any more, or the
            finding belongs to another stay.
    """
    row = _open_item(item)
    if finding.intake_id != row.intake_id:
        raise ValidationError("A finding of another stay can't be cleared here.")
    finding.refresh_from_db()
    if finding.cleared_on or finding.withdrawn_because:
        raise ValidationError(f"“{finding.title}” is not open any more.")
    if not row.findings.filter(pk=finding.pk).exists():
        row.findings.add(finding)
        _keep(row, by, "A finding was given to the item.", ["findings"])
    return row


@transaction.atomic
def edit_item(
    *,
    item: RepairItem,
    version: int,
    findings: Iterable[Finding],
    parts: Iterable[PartLine],
    by: User,
    **fields: Any,
) -> RepairItem:
    """Change what an open item is, clears and takes.

    Raises:
        ValidationError: the stay has ended, the item is not open, somebody else changed it
            meanwhile, a field is not possible, or the same work is open in another item.
    """
    row = _open_item(item, version)
    fields["title"] = str(fields["title"]).strip()
    refuse_same_title(row.intake, fields["title"], row.pk)
    for name, value in fields.items():
        setattr(row, name, value)
    row.full_clean()
    set_findings(row, findings)
    write_parts(row, parts)
    _keep(row, by, "The item was changed.", sorted(fields))
    return row


@transaction.atomic
def mark_done(
    *,
    item: RepairItem,
    on: dt.date,
    by: User,
    took_minutes: int | None = None,
    cost_cents: int | None = None,
) -> RepairItem:
    """Mark an item done and clear its findings, unless another open item is to clear them too.

    What it took and cost is asked for, and may be written down later.

    Raises:
        ValidationError: the item is not open, the day is before the car came, the stay has ended,
            no owner consented to repair, this user may not do such work, or what has to come
            first, or caused what it clears, is still open.
    """
    row = _open_item(item)
    if on < row.intake.arrived_on:
        raise ValidationError("The work can't be done before the car came.")
    refuse_without(row.intake, Act.REPAIR, on)
    refuse_unless_may_all(by, acts_of(row), on)
    _refuse_before_its_turn(row)
    row.state, row.done_on = ItemState.DONE, on
    row.took_minutes, row.cost_cents = took_minutes, cost_cents
    row.full_clean(exclude=["intake"])
    cleared = row.findings.filter(cleared_on=None, withdrawn_because="")
    others = RepairItem.objects.open().filter(intake=row.intake).exclude(pk=row.pk)
    cleared.exclude(items__in=others).update(cleared_on=on, version=F("version") + 1)
    # What the work lacked it no longer lacks, so that nobody is asked for the part any more.
    row.needs.open().update(state=NeedState.FILLED, version=F("version") + 1)
    _keep(row, by, "The item was done.")
    return row


def _refuse_before_its_turn(row: RepairItem) -> None:
    waiting = row.prerequisites.filter(state=ItemState.OPEN).first()
    if waiting:
        raise ValidationError(f"“{waiting.title}” has to be done before “{row.title}”.")
    others = with_work(RepairItem.objects.open().filter(intake=row.intake))
    first, orphans = after_causes(others)
    by_id = {item.pk: item for item in others}
    for pk in sorted(first.get(row.pk, ())):
        raise ValidationError(
            f"“{by_id[pk].title}” repairs the cause, and has to be done before “{row.title}”."
        )
    if row.pk in orphans:
        raise ValidationError(
            f"“{orphans[row.pk]}” brought this about and is not repaired. "
            "Add its repair first, or withdraw that finding with a reason."
        )


@transaction.atomic
def reopen_item(*, item: RepairItem, because: str, by: User) -> RepairItem:
    """Open an item again that was marked done by mistake, with its findings and its needs.

    Raises:
        ValidationError: the stay has ended, the item is not done, or no reason is given.
    """
    row = _locked_item(item)
    if row.state != ItemState.DONE:
        raise ValidationError(f"“{row.title}” is not done.")
    reason = _reason(because, "Say why it is not done.")
    refuse_same_title(row.intake, row.title, row.pk)
    row.findings.filter(cleared_on=row.done_on).update(cleared_on=None, version=F("version") + 1)
    row.needs.filter(state=NeedState.FILLED).update(state=NeedState.OPEN, version=F("version") + 1)
    row.state, row.done_on = ItemState.OPEN, None
    row.took_minutes = row.cost_cents = None
    _keep(row, by, "The item was opened again.", ["state"], reason)
    return row


@transaction.atomic
def withdraw_item(*, item: RepairItem, because: str, by: User, version: int) -> RepairItem:
    """Take an open item off the list; its findings stay, but for those read better since.

    What was set aside for it is free again, in the same transaction.

    Raises:
        ValidationError: the stay has ended, the item is not open, somebody else changed it
            meanwhile, or no reason is given.
    """
    row = _open_item(item, version)
    _withdrawn(row, _reason(because, "Say why it is not to be done."), by)
    import_string(settings.WORK_DROPPED)(row, by)
    return row


@transaction.atomic
def withdraw_items(*, intake: Intake, because: str, by: User) -> int:
    """Take all open items of a stay off the list, close their needs, and return how many."""
    Intake.objects.select_for_update().get(pk=intake.pk)
    reason = _reason(because, "Say why nothing more is to be done.")
    rows = RepairItem.objects.select_for_update(of=("self",)).open().select_related("intake")
    return len([_withdrawn(row, reason, by) for row in rows.filter(intake=intake)])


def _withdrawn(row: RepairItem, because: str, by: User) -> RepairItem:
    row.state, row.withdrawn_because = ItemState.WITHDRAWN, because
    row.needs.open().update(state=NeedState.WITHDRAWN, version=F("version") + 1)
    _keep(row, by, "The item was withdrawn.", ["state"], because)
    # A finding whose point was read again and found good was kept for this item alone.
    kept = row.findings.filter(
        cleared_on=None, withdrawn_because="", reading__replaced_at__isnull=False
    )
    others = RepairItem.objects.open().filter(intake=row.intake)
    kept.exclude(items__in=others).update(withdrawn_because=READ_AGAIN, version=F("version") + 1)
    return row


def _reason(because: str, asked: str) -> str:
    reason = because.strip()
    if not reason:
        raise ValidationError({"because": asked})
    if len(reason) > MOST_REASON:
        raise ValidationError({"because": f"Say it in {MOST_REASON} characters at most."})
    return reason


def _locked_item(item: RepairItem) -> RepairItem:
    """Return the item, locked after its stay, so that two people don't wait for each other."""
    Intake.objects.select_for_update().get(pk=item.intake_id)
    rows = RepairItem.objects.select_for_update(of=("self",))
    row = rows.select_related("intake__program", "intake__vehicle").get(pk=item.pk)
    refuse_ended(row.intake)
    return row


def _open_item(item: RepairItem, version: int | None = None) -> RepairItem:
    row = _locked_item(item)
    if row.state != ItemState.OPEN:
        raise ValidationError(f"“{row.title}” is {row.state} already.")
    if version is not None and row.version != version:
        raise ValidationError(CHANGED)
    return row


def _keep(
    row: RepairItem, by: User, what: str, fields: Iterable[str] = (), reason: str = ""
) -> None:
    """Save a changed item under its next version, ask for new ranks, and log what was done."""
    row.version += 1
    row.save()
    ask_for_ranks(row.intake)
    log_event(row, what, by=by, fields=list(fields), reason=reason)
