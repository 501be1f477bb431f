"""Prices are recorded, chosen and taken back; what a job took is written down."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from shared.audit.actions import log_event
from vehicles.estimates.kinds import PriceSource, priced_around
from vehicles.estimates.models import Quote
from vehicles.estimates.queries import is_open, is_read, refusal_of
from vehicles.intake.actions import ask_for_ranks
from vehicles.intake.images import clean_photo
from vehicles.intake.models import Intake
from vehicles.repairs.ages import Worn, in_words
from vehicles.repairs.keeping import refuse_worn
from vehicles.repairs.models import Need, RepairItem
from vehicles.repairs.parts import PartCondition
from vehicles.repairs.states import ItemState

if TYPE_CHECKING:
    import uuid

    from shared.accounts.models import User

MOST_PAPER_BYTES: Final = 2_000_000
PDF_BEGINS: Final = b"%PDF-"  # source: ISO 32000-1, 7.5.2, file header; from memory
MOST_REASON: Final = 200
MOST_SOURCE: Final = 80
MOST_NOTE: Final = 200
CLOSED = "This is not open any more, so no price is asked for it."


@transaction.atomic
def record_quote(
    *,
    about: Need | RepairItem,
    client_key: uuid.UUID,
    paper: bytes,
    by: User,
    worn: Worn | None = None,
    **fields: Any,
) -> Quote:
    """Write down a price for one unit of a need, or for an item's work elsewhere; once a key.

    `paper` is the file that was sent: a PDF, a picture, or nothing. `worn` is what was read off a
    used tire or battery; it is kept in front of the note.

    Raises:
        ValidationError: the need or item is not open, a part of this condition is not taken, it is
            too worn or too old, the file is neither PDF nor picture, or a field is not possible.
    """
    there = Quote.objects.filter(program_id=about.program_id, client_key=client_key).first()
    if there:
        return there
    _refuse_closed(about)
    row = Quote(
        program_id=about.program_id,
        need=about if isinstance(about, Need) else None,
        item=None if isinstance(about, Need) else about,
        client_key=client_key,
        made_by=by,
        **fields,
    )
    _refuse_condition(row)
    if row.good_until_on and row.good_until_on < row.quoted_on:
        raise ValidationError({"good_until_on": "It can’t run out before it was said."})
    row.note = _noted(row, worn or Worn())
    row.paper, row.paper_type = kept_paper(paper)
    row.full_clean()
    row.save()
    log_event(row, "A price was recorded.", by=by)
    return row


def _noted(quote: Quote, worn: Worn) -> str:
    """Return the note, behind what was read off a used tire or battery that may be used."""
    if quote.need is None or not is_read(quote):
        return quote.note
    refuse_worn(quote.need.kind, worn, quote.need.program.today())
    said = in_words(worn)
    note = f"{said[0].upper()}{said[1:]}. {quote.note}".strip()
    if len(note) > MOST_NOTE:
        least = MOST_NOTE - len(note) + len(quote.note)
        raise ValidationError({"note": f"Say it in {least} characters at most."})
    return note


def kept_paper(data: bytes) -> tuple[bytes | None, str]:
    """Return a file as it is kept, and its type: a PDF as it is, a picture written anew.

    Raises:
        ValidationError: the file is over 2 MB, or neither a PDF nor a picture.
    """
    if not data:
        return None, ""
    if data.startswith(PDF_BEGINS):
        if len(data) > MOST_PAPER_BYTES:
            sentence = f"The PDF has {len(data) / 1_000_000:.1f} MB; at most 2 MB can be kept."
            raise ValidationError({"paper": sentence})
        return data, "application/pdf"
    try:
        return clean_photo(data).jpeg, "image/jpeg"
    except ValueError as refusal:
        raise ValidationError({"paper": f"{refusal} A PDF is kept as it is."}) from refusal


@transaction.atomic
def choose_quote(*, quote: Quote, by: User) -> Quote:
    """Let the estimate count with this price, instead of the one that was chosen before.

    A need gets the price, its range, source and day; an item the price of its work elsewhere.

    Raises:
        ValidationError: the price was withdrawn or has run out, such parts are not taken any more,
            or the need or item is not open.
    """
    row = _locked(quote)
    if row.withdrawn_because:
        raise ValidationError("This price was withdrawn.")
    if row.good_until_on and row.good_until_on < row.program.today():
        raise ValidationError(
            f"This price was good until {row.good_until_on}. Ask again, and record what is said."
        )
    _refuse_closed(row.need or row.item)
    _refuse_condition(row)
    same = Quote.objects.filter(program_id=row.program_id, need=row.need, item=row.item)
    same.exclude(pk=row.pk).update(chosen_at=None, chosen_by=None)
    row.chosen_at, row.chosen_by = timezone.now(), by
    row.full_clean()
    row.save(update_fields=["chosen_at", "chosen_by"])
    if row.need:
        _take_for_need(row, Need.objects.select_for_update().get(pk=row.need.pk))
    elif row.item:
        _take_for_item(row, RepairItem.objects.select_for_update().get(pk=row.item.pk))
    log_event(row, "A price was chosen.", by=by)
    return row


@transaction.atomic
def withdraw_quote(*, quote: Quote, because: str, by: User) -> Quote:
    """Take a price off the list; what was taken over from it stays, and says so.

    Raises:
        ValidationError: it is withdrawn already, or no reason is given.
    """
    row = _locked(quote)
    if row.withdrawn_because:
        raise ValidationError("This price was withdrawn already.")
    row.withdrawn_because = _reason(because)
    if row.chosen_at and row.need:
        source = f"taken back: {row.need.price_source}"[:MOST_SOURCE]
        Need.objects.filter(pk=row.need.pk).update(price_source=source, version=F("version") + 1)
    row.chosen_at, row.chosen_by = None, None
    row.full_clean()
    row.save(update_fields=["chosen_at", "chosen_by", "withdrawn_because"])
    log_event(row, "A price was withdrawn.", by=by, reason=row.withdrawn_because)
    return row


@transaction.atomic
def record_actuals(
    *,
    item: RepairItem,
    version: int,
    took_minutes: int | None,
    cost_cents: int | None,
    because: str,
    by: User,
) -> RepairItem:
    """Write down what a job that is done took and cost; the stay may have ended since.

    Raises:
        ValidationError: the item is not done, somebody else changed it meanwhile, nothing changes,
            or what was on record changes without a reason.
    """
    row = RepairItem.objects.select_for_update().get(pk=item.pk)
    if row.state != ItemState.DONE:
        raise ValidationError(f"“{row.title}” is not done.")
    if row.version != version:
        raise ValidationError("Somebody else changed this item meanwhile. Look at it again.")
    new = {"took_minutes": took_minutes, "cost_cents": cost_cents}
    old = {name: getattr(row, name) for name in new}
    changed = [name for name in new if new[name] != old[name]]
    if not changed:
        raise ValidationError("Nothing was changed.")
    reason = because.strip()
    if any(old[name] is not None for name in changed):
        reason = _reason(because)
    for name in changed:
        setattr(row, name, new[name])
    row.version += 1
    row.full_clean()
    row.save(update_fields=[*changed, "version"])
    log_event(row, "What the job took was recorded.", by=by, fields=changed, reason=reason)
    return row


def _locked(quote: Quote) -> Quote:
    """Return the price, locked after its stay, so that two choices don't pass each other."""
    item = quote.item or quote.need.item  # type: ignore[union-attr]  # it is for one of the two
    Intake.objects.select_for_update().get(pk=item.intake_id)
    rows = Quote.objects.select_for_update(of=("self",))
    return rows.select_related("program", "need__item__intake", "item__intake").get(pk=quote.pk)


def _take_for_need(quote: Quote, need: Need) -> None:
    source = PriceSource(quote.source)
    before = (need.price_low_cents, need.price_cents, need.price_high_cents)
    low, need.price_cents, high = priced_around(quote.cents, source, before)
    need.price_low_cents, need.price_high_cents = low, high
    used = "" if quote.condition == PartCondition.NEW else f", {quote.condition}"
    need.price_source = f"{source.label.lower()}{used}, {quote.supplier}"[:MOST_SOURCE]
    need.priced_on = quote.quoted_on
    need.version += 1
    need.full_clean()
    need.save()
    ask_for_ranks(need.item.intake)


def _take_for_item(quote: Quote, item: RepairItem) -> None:
    item.sublet_cents = quote.cents
    item.outside_days = quote.lead_days or item.outside_days
    item.version += 1
    item.full_clean()
    item.save()
    ask_for_ranks(item.intake)


def _refuse_closed(about: Need | RepairItem | None) -> None:
    if about is None or not is_open(about):
        raise ValidationError(CLOSED)


def _refuse_condition(quote: Quote) -> None:
    refusal = refusal_of(quote.need, quote.condition) if quote.need else None
    if refusal:
        raise ValidationError({"condition": str(refusal)})


def _reason(because: str) -> str:
    reason = because.strip()
    if not reason:
        raise ValidationError({"because": "Say why."})
    if len(reason) > MOST_REASON:
        raise ValidationError({"because": f"Say it in {MOST_REASON} characters at most."})
    return reason
