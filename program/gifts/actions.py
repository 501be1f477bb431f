"""Entering a gift with a purpose, deciding on it, and booking it once it is decided."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from program.funds.actions import open_fund
from program.gifts.models import Offer
from program.gifts.posting import accepted, came, met
from program.gifts.queries import (
    STEPS,
    against,
    code_of,
    entries_of,
    last_booked,
    last_key,
    may_not_decide,
    standing_of,
)
from program.gifts.states import OfferState
from program.ledger.actions import Event, Line, post_entry, reverse_entry
from program.ledger.labels import kind_of
from program.ledger.rules import from_dict
from shared.accounts.models import Program
from shared.audit.actions import log_event

if TYPE_CHECKING:
    import datetime as dt
    from uuid import UUID

    from program.gifts.posting import Sides
    from program.ledger.models import Entry, Fund
    from program.ledger.rules import Rule
    from shared.accounts.models import User

STALE = "Somebody else changed this gift. Open the page again."


@transaction.atomic
def enter_offer(*, program: Program, client_key: UUID, by: User, **typed: Any) -> Offer:
    """Write down an offered gift; `typed` are its fields. The same form sent twice is one gift.

    Raises:
        ValidationError: a field is impossible.
    """
    _lock(program)
    if there := Offer.objects.filter(program=program, client_key=client_key).first():
        return there
    offer = Offer(program=program, client_key=client_key, by=by, **typed)
    offer.full_clean()
    offer.save()
    log_event(offer, "A gift with a purpose was entered.", by=by)
    return offer


@transaction.atomic
def change_offer(*, offer: Offer, version: int, by: User, **typed: Any) -> Offer:
    """Change a gift that is not decided yet, after asking the giver.

    Raises:
        ValidationError: it was decided or changed meanwhile, or a field is impossible.
    """
    found = _open(offer, version)
    fields = [name for name, value in typed.items() if getattr(found, name) != value]
    for name, value in typed.items():
        setattr(found, name, value)
    if "fund_name" in typed and not found.fund_name:
        found.rule = {}
    return _save(found, "The gift was changed.", by=by, fields=fields)


@transaction.atomic
def set_offer_rule(*, offer: Offer, rule: Rule, version: int, by: User, **_rest: Any) -> Offer:
    """Say what the fund that a gift opens may pay for.

    Raises:
        ValidationError: the gift goes to an open fund, or it was decided or changed meanwhile.
    """
    found = _open(offer, version)
    if found.fund:
        raise ValidationError("The fund that this gift goes to has its own rule.")
    found.rule = rule.to_dict()
    return _save(found, "The rule of the gift was changed.", by=by, fields=["rule"])


@transaction.atomic
def accept_offer(*, offer: Offer, on: dt.date, reason: str, version: int, by: User) -> Offer:
    """Accept a gift: open its fund where it is new, and book what accepting books.

    Raises:
        ValidationError: it is earmarked, was decided or changed meanwhile, may not be decided by
            this user, or can't be booked on that day.
    """
    found = _open(offer, version)
    if problem := may_not_decide(found, by):
        raise ValidationError(str(problem.sentence))
    if problems := against(found):
        raise ValidationError([f"{one.sentence} {one.remedy}" for one in problems])
    if found.fund is None:
        found.fund = _fund(found, on, by)
    _decide(found, OfferState.ACCEPTED, reason, by)
    found.entry = _book(found, accepted(standing_of(found)), f"offer:{found.pk}", on, by)
    return _save(found, "The gift was accepted.", by=by, reason=reason)


@transaction.atomic
def refuse_offer(*, offer: Offer, reason: str, version: int, by: User) -> Offer:
    """Refuse a gift with a reason; nothing is booked.

    Raises:
        ValidationError: it was decided or changed meanwhile, or may not be decided by this user.
    """
    found = _open(offer, version)
    if problem := may_not_decide(found, by):
        raise ValidationError(str(problem.sentence))
    _decide(found, OfferState.REFUSED, reason, by)
    return _save(found, "The gift was refused.", by=by, reason=reason)


@transaction.atomic
def receive_offer(*, offer: Offer, on: dt.date, version: int, by: User) -> Offer:
    """Book that the money of an accepted gift has come.

    Raises:
        ValidationError: it came before, the gift is not accepted, or the day can't be booked.
    """
    found = _taken(offer, version)
    if found.arrived:
        raise ValidationError("The money of this gift is here already.")
    _book(found, came(standing_of(found)), f"offer-in:{found.pk}", on, by)
    found.arrived = True
    return _save(found, "The money of the gift came.", by=by, fields=["arrived"])


@transaction.atomic
def meet_offer(*, offer: Offer, on: dt.date, reason: str, version: int, by: User) -> Offer:
    """Book the income of a conditional gift, now that its condition is reached; `reason` says how.

    Raises:
        ValidationError: no condition is open, or the day can't be booked.
    """
    found = _taken(offer, version)
    standing = standing_of(found)
    if not standing.conditional:
        raise ValidationError("No condition of this gift is open.")
    found.met_entry = _book(found, met(standing), f"offer-met:{found.pk}", on, by)
    return _save(found, "The condition of the gift was met.", by=by, reason=reason)


@transaction.atomic
def take_back(*, offer: Offer, reason: str, version: int, by: User) -> Offer:
    """Take back the last step of an accepted gift, such as after a slip or a promise not kept.

    What it booked is reversed today, unless the bank returned it already. Without its yes the gift
    waits again, for the fund that was opened.

    Raises:
        ValidationError: the reason is missing, or the gift is not accepted or changed meanwhile.
    """
    found = _taken(offer, version)
    if not reason.strip():
        raise ValidationError({"reason": "Say why it is taken back."})
    step = kind_of(last_key(found))
    if entry := last_booked(found):
        reverse_entry(entry=entry, on=found.program.today(), reason=reason, by=by)
    if step == "offer-in":
        found.arrived = False
    elif step == "offer-met":
        found.met_entry = None
    else:
        found.entry = found.decided_by = found.decided_at = None
        found.state, found.reason, found.fund_name = OfferState.OFFERED, "", ""
    return _save(found, f"Taken back: {STEPS[step]}.", by=by, reason=reason.strip())


def _lock(program: Program) -> None:
    Program.objects.select_for_update(no_key=True).get(pk=program.pk)


def _current(offer: Offer, version: int) -> Offer:
    """Return the gift as it stands, the books locked."""
    _lock(offer.program)
    found = Offer.objects.select_related("program", "fund").get(pk=offer.pk)
    if found.version != version:
        raise ValidationError(STALE)
    return found


def _open(offer: Offer, version: int) -> Offer:
    found = _current(offer, version)
    if found.state != OfferState.OFFERED:
        raise ValidationError(f"This gift was {found.state} already.")
    return found


def _taken(offer: Offer, version: int) -> Offer:
    found = _current(offer, version)
    if found.state != OfferState.ACCEPTED:
        raise ValidationError("Only a gift that was accepted is booked.")
    return found


def _fund(offer: Offer, on: dt.date, by: User) -> Fund:
    """Open the fund that a gift asks for."""
    return open_fund(
        program=offer.program,
        code=code_of(offer),
        name=offer.fund_name,
        purpose=offer.terms[:200],
        restricted=True,
        opened_on=min(on, offer.on),
        lapses_on=offer.lapses_on,
        rule=from_dict(offer.rule),
        by=by,
    )


def _decide(offer: Offer, state: OfferState, reason: str, by: User) -> None:
    offer.state, offer.reason = state, reason
    offer.decided_by, offer.decided_at = by, timezone.now()


def _book(offer: Offer, sides: Sides | None, key: str, on: dt.date, by: User) -> Entry | None:
    """Book one transfer of a gift in its fund; the giver's name stays in the offer."""
    if sides is None or offer.fund is None:
        return None
    line = Line(debit=sides.debit, credit=sides.credit, cents=offer.cents, fund=offer.fund)
    before = entries_of(offer, kind_of(key)).count()
    key = f"{key}:{before + 1}" if before else key
    event = Event(key=key, on=on, what=f"Gift for the {offer.fund.name}")
    return post_entry(program=offer.program, event=event, lines=[line], by=by)


def _save(
    offer: Offer, what: str, *, by: User, reason: str = "", fields: list[str] | None = None
) -> Offer:
    offer.version += 1
    offer.full_clean()
    offer.save()
    log_event(offer, what, by=by, reason=reason, fields=fields or [])
    return offer
