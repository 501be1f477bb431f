"""Making private links, taking them back, and noting when one was used."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TYPE_CHECKING

from django.db import transaction
from django.db.models import F, Q
from django.utils import timezone

from shared.audit.actions import log_event
from shared.links.models import AccessLink

if TYPE_CHECKING:
    from shared.accounts.models import Program, User
    from shared.links.purposes import LinkPurpose

USE_NOTED_EVERY = dt.timedelta(hours=1)


def make_link(
    program: Program, purpose: LinkPurpose, expires_at: dt.datetime | None = None
) -> AccessLink:
    """Return a new link; `queries.link_url` says where it leads."""
    link = AccessLink(
        program=program, public_id=uuid.uuid4(), purpose=purpose, expires_at=expires_at
    )
    link.full_clean()
    link.save()
    return link


@transaction.atomic
def revoke(link: AccessLink, *, by: User | None = None, reason: str = "") -> AccessLink:
    """Take a link back: no token made so far opens it any more."""
    AccessLink.objects.filter(pk=link.pk).update(
        version=F("version") + 1, revoked_at=timezone.now()
    )
    log_event(link, "Took the private link back.", by=by, reason=reason, fields=["version"])
    link.refresh_from_db()
    return link


@transaction.atomic
def renew(link: AccessLink, *, by: User | None = None) -> AccessLink:
    """Let a link that was taken back open again, by new tokens only."""
    AccessLink.objects.filter(pk=link.pk).update(version=F("version") + 1, revoked_at=None)
    log_event(link, "Made the private link anew.", by=by, fields=["version"])
    link.refresh_from_db()
    return link


def note_use(link: AccessLink, now: dt.datetime) -> None:
    """Note that the link was used; written at most once an hour, so that a page stays a read."""
    if link.last_used_at is not None and link.last_used_at > now - USE_NOTED_EVERY:
        return
    unnoted = Q(last_used_at=None) | Q(last_used_at__lte=now - USE_NOTED_EVERY)
    AccessLink.objects.filter(unnoted, pk=link.pk).update(last_used_at=now)
