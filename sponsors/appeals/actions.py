"""Drafting appeals, approving one so that it is sent once, and dropping one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone, translation
from django.utils.translation import gettext

from shared.audit.actions import log_event
from shared.links.queries import link_url
from shared.outbox.actions import unsubscribe_headers, write_message
from shared.outbox.contact import MaySay, MessageKind
from shared.policy.queries import policies
from sponsors.appeals.drafting import Rules, choose, letter, rests
from sponsors.appeals.models import Appeal, AppealLine
from sponsors.appeals.queries import charity, drafted_in, giver, shut, sponsors_to_ask, wanted
from sponsors.appeals.states import AppealState
from sponsors.register.actions import portal_link, stop_link
from sponsors.register.models import Sponsor

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from shared.accounts.models import Program, User
    from sponsors.appeals.drafting import Ask, Asked


@transaction.atomic
def draft_appeals(
    *,
    program: Program,
    asks: Sequence[Ask],
    round: str,  # noqa: A002  # the field's own name
    today: dt.date,
) -> list[Appeal]:
    """Draft one appeal to each sponsor whose parts are asked for, and return the new ones.

    `round` names the plan's week, such as `2026-W48`: drafting a round again adds nothing. Drafts
    of earlier rounds that nobody decided on are dropped for a new one to the same sponsor.
    """
    rules = policies(program, today)
    sponsors = {row.pk: row for row in sponsors_to_ask(program)}
    done = drafted_in(program, round)
    choice = choose(
        wanted(program, asks),
        [giver(row, rules["appeal_every_days"]) for row in sponsors.values() if row.pk not in done],
        Rules(today=today, floor_cents=rules["ask_floor_cents"]),
    )
    return [_draft(sponsors[asked.giver.id], asked, round) for asked in choice.asked]


def _draft(sponsor: Sponsor, asked: Asked, name: str) -> Appeal:
    """Write one draft in the sponsor's language, as it will be sent."""
    page = portal_link(sponsor)
    mail = letter(
        asked,
        charity(sponsor.program),
        portal_url=link_url(page) if page else "",
        stop_url=link_url(stop_link(sponsor)),
    )
    with translation.override(sponsor.address.language):
        subject, text = mail.subject.render(gettext), mail.text(gettext)
    _supersede(sponsor)
    appeal = Appeal(
        program_id=sponsor.program_id, sponsor=sponsor, round=name, subject=subject, text=text
    )
    appeal.full_clean()
    appeal.save()
    AppealLine.objects.bulk_create(
        AppealLine(
            program_id=sponsor.program_id,
            appeal=appeal,
            need_id=line.need.id,
            position=position,
            frees_cars=line.frees_cars,
        )
        for position, line in enumerate(asked.lines, start=1)
    )
    log_event(appeal, "An appeal was drafted.", by=None)
    return appeal


def _supersede(sponsor: Sponsor) -> None:
    """Drop the drafts to a sponsor that nobody decided on before the next one was written."""
    for old in Appeal.objects.filter(sponsor=sponsor, state=AppealState.DRAFTED):
        _decide(old, AppealState.DROPPED, by=None)
        log_event(old, "The draft was dropped.", by=None, reason="A newer one took its place.")


@transaction.atomic
def approve_appeal(*, appeal: Appeal, by: User) -> Appeal:
    """Let an appeal be sent, once, and note that the sponsor was asked today.

    Approving twice changes nothing.

    Raises:
        ValidationError: it was dropped, the sponsor may not be asked now, it asks for what nobody
            may ask for now, or a link in it is old.
    """
    found = _locked(appeal)
    if found.state in (AppealState.APPROVED, AppealState.SENT):
        return found
    if found.state == AppealState.DROPPED:
        raise ValidationError("This appeal was dropped.")
    sponsor = found.sponsor
    stop_url = _check(found, sponsor)
    found.message = write_message(
        program=found.program,
        key=f"appeal:{found.pk}",
        address=sponsor.address,
        kind=MessageKind.APPEAL,
        tells=MaySay.NOTHING,  # an appeal tells nothing of any person
        subject=found.subject,
        text=found.text,
        headers=unsubscribe_headers(stop_url),
    )
    _decide(found, AppealState.APPROVED, by=by)
    Sponsor.objects.filter(pk=sponsor.pk).update(
        last_asked_on=found.program.today(), version=sponsor.version + 1
    )
    log_event(found, "The appeal was approved.", by=by, fields=["state"])
    return found


@transaction.atomic
def drop_appeal(*, appeal: Appeal, reason: str, by: User) -> Appeal:
    """Let an appeal not be sent, for a reason.

    Raises:
        ValidationError: it was decided already, or the reason is missing.
    """
    found = _locked(appeal)
    if found.state != AppealState.DRAFTED:
        raise ValidationError("This appeal was decided already.")
    if not reason.strip():
        raise ValidationError({"reason": "Say why it is not sent."})
    _decide(found, AppealState.DROPPED, by=by)
    log_event(found, "The appeal was dropped.", by=by, reason=reason.strip(), fields=["state"])
    return found


def _locked(appeal: Appeal) -> Appeal:
    rows = Appeal.objects.select_for_update(of=("self", "sponsor"))
    links = ("sponsor__address", "sponsor__link", "sponsor__stop_link")
    return rows.select_related("program", *links).get(pk=appeal.pk)


def _check(found: Appeal, sponsor: Sponsor) -> str:
    """Return the address that stops such mail, or refuse on what stands against sending."""
    today = found.program.today()
    every_days = policies(found.program, today)["appeal_every_days"]
    reason = rests(giver(sponsor, every_days), today)
    if reason is not None:
        raise ValidationError(f"{reason} Drop this appeal.")
    if gone := shut(found):
        raise ValidationError(
            f"Something of its car comes before “{gone[0]}”, which is not asked for until then. "
            "Drop this appeal; the next round has what is right."
        )
    stop_url = link_url(stop_link(sponsor))
    page = portal_link(sponsor)
    closed_at = sponsor.link.revoked_at if sponsor.link else None
    closed = closed_at is not None and closed_at > found.drafted_at
    if closed or stop_url not in found.text or (page and link_url(page) not in found.text):
        raise ValidationError(
            "A private link in this mail was renewed or closed since it was drafted. Drop it; "
            "the next round has what is right."
        )
    return stop_url


def _decide(appeal: Appeal, state: AppealState, *, by: User | None) -> None:
    appeal.state, appeal.decided_by, appeal.decided_at = state, by, timezone.now()
    appeal.version += 1
    appeal.full_clean(exclude=["program", "sponsor"])
    appeal.save(update_fields=["state", "decided_by", "decided_at", "message", "version"])
