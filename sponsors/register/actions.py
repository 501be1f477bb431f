"""Adding and changing sponsors, their private pages, and how often they may be asked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F

from shared.audit.actions import log_event
from shared.links.actions import make_link, renew, revoke
from shared.links.purposes import LinkPurpose
from shared.outbox.contact import Channel, MaySay
from shared.outbox.models import Address
from sponsors.register.models import Gives, Sponsor

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shared.accounts.models import Program, User
    from shared.links.models import AccessLink

LONGEST_PAUSE_DAYS = 3_650


@transaction.atomic
def add_sponsor(  # noqa: PLR0913  # the fields of one form
    *,
    program: Program,
    name: str,
    town: str,
    contact_name: str,
    email: str,
    phone: str,
    language: str,
    gives: Iterable[str],
    ask_every_days: int | None,
    by: User,
) -> Sponsor:
    """Add a sponsor who gives parts of the systems named.

    Raises:
        ValidationError: the name is taken, or an address or system is not possible.
    """
    address = Address(program=program, says=MaySay.PROGRESS)
    _reach(address, email, phone, language)
    sponsor = Sponsor(
        program=program,
        name=name,
        town=town,
        contact_name=contact_name,
        address=address,
        ask_every_days=ask_every_days,
        since_on=program.today(),
    )
    sponsor.full_clean()
    sponsor.save()
    _give(sponsor, gives)
    log_event(sponsor, "A sponsor was added.", by=by)
    return sponsor


@transaction.atomic
def edit_sponsor(  # noqa: PLR0913  # the fields of one form
    *,
    sponsor: Sponsor,
    name: str,
    town: str,
    contact_name: str,
    email: str,
    phone: str,
    language: str,
    gives: Iterable[str],
    ask_every_days: int | None,
    version: int,
    by: User,
) -> Sponsor:
    """Change what is on record of a sponsor.

    Raises:
        ValidationError: somebody else changed it since `version`, or a value is not possible.
    """
    rows = Sponsor.objects.select_for_update(of=("self",)).select_related("address")
    found = rows.get(pk=sponsor.pk)
    if found.version != version:
        raise ValidationError("Somebody else changed this sponsor. Open the page again.")
    _reach(found.address, email, phone, language)
    found.name, found.town, found.contact_name = name, town, contact_name
    found.ask_every_days = ask_every_days
    found.version += 1
    found.full_clean(exclude=["address", "link", "stop_link"])
    found.save(update_fields=["name", "town", "contact_name", "ask_every_days", "version"])
    _give(found, gives)
    log_event(found, "The sponsor was changed.", by=by, fields=["name", "address", "gives"])
    return found


def _reach(address: Address, email: str, phone: str, language: str) -> None:
    """Write how a sponsor is reached: by mail where there is an address, else by phone."""
    address.channel = Channel.EMAIL if email else Channel.PHONE
    address.email, address.phone, address.language = email, phone, language
    address.full_clean(exclude=["program"])
    address.save()


def _give(sponsor: Sponsor, gives: Iterable[str]) -> None:
    """Put this list in the place of the one before; a code is `system` or `system/kind`."""
    wanted = {tuple(code.split("/", 1)) if "/" in code else (code, "") for code in gives}
    there = {(row.system, row.part_kind): row for row in sponsor.gives.all()}
    for pair, row in there.items():
        if pair not in wanted:
            row.delete()
    for system, part_kind in sorted(wanted - there.keys()):
        row = Gives(
            program_id=sponsor.program_id, sponsor=sponsor, system=system, part_kind=part_kind
        )
        row.full_clean()
        row.save()


@transaction.atomic
def give_portal_link(*, sponsor: Sponsor, by: User | None) -> AccessLink:
    """Return the link to a sponsor's private page; one that was taken back opens again, anew."""
    found = (
        Sponsor.objects.select_for_update(of=("self",)).select_related("link").get(pk=sponsor.pk)
    )
    if found.link is None:
        found.link = make_link(found.program, LinkPurpose.PORTAL)
        found.save(update_fields=["link"])
        log_event(found, "The private page was opened.", by=by, fields=["link"])
    elif found.link.revoked_at is not None:
        renew(found.link, by=by)
    return found.link


@transaction.atomic
def revoke_portal_link(*, sponsor: Sponsor, by: User, reason: str = "") -> Sponsor:
    """Close a sponsor's private page: the link they have opens nothing any more."""
    if sponsor.link is not None and sponsor.link.revoked_at is None:
        revoke(sponsor.link, by=by, reason=reason)
    return sponsor


def portal_link(sponsor: Sponsor) -> AccessLink | None:
    """Return the link for a mail, made at the first mail; None where the page was closed."""
    if sponsor.link is not None:
        return sponsor.link if sponsor.link.revoked_at is None else None
    sponsor.link = give_portal_link(sponsor=sponsor, by=None)
    return sponsor.link


@transaction.atomic
def stop_link(sponsor: Sponsor) -> AccessLink:
    """Return the link by which a sponsor stops our mail; it is made once and never expires."""
    if sponsor.stop_link is None:
        sponsor.stop_link = make_link(sponsor.program, LinkPurpose.UNSUBSCRIBE)
        sponsor.save(update_fields=["stop_link"])
    return sponsor.stop_link


@transaction.atomic
def set_preferences(
    *, sponsor: Sponsor, language: str, ask_every_days: int | None, by: User | None
) -> Sponsor:
    """Record in which language, and how often at most, a sponsor wants to be asked.

    Raises:
        ValidationError: no such language, or a pause that is not possible.
    """
    found = (
        Sponsor.objects.select_for_update(of=("self",)).select_related("address").get(pk=sponsor.pk)
    )
    if ask_every_days is not None and not 1 <= ask_every_days <= LONGEST_PAUSE_DAYS:
        raise ValidationError({"ask_every_days": f"{ask_every_days} days is not possible."})
    found.ask_every_days, found.version = ask_every_days, found.version + 1
    found.save(update_fields=["ask_every_days", "version"])
    found.address.language = language
    found.address.full_clean(exclude=["program"])
    found.address.save(update_fields=["language"])
    log_event(found, "The preferences were changed.", by=by, fields=["language", "ask_every_days"])
    return found


@transaction.atomic
def allow_mail(*, sponsor: Sponsor, by: User | None) -> Sponsor:
    """Let appeals go to a sponsor again who had stopped them and now wants them."""
    stopped = Address.objects.filter(pk=sponsor.address_id, opted_out_at__isnull=False)
    if stopped.update(opted_out_at=None, version=F("version") + 1):
        log_event(sponsor.address, "Asked for mail again.", by=by, fields=["opted_out_at"])
    sponsor.address.refresh_from_db()
    return sponsor
