"""Finding the row behind a token, and the address of a link."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.conf import settings
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from shared.links import tokens
from shared.links.models import AccessLink
from shared.links.purposes import LinkPurpose

if TYPE_CHECKING:
    from uuid import UUID

# The page that each purpose opens; its one argument is the token.
PAGES = {
    LinkPurpose.STATUS: "status:page",
    LinkPurpose.PORTAL: "portal:need_list",
    LinkPurpose.UNSUBSCRIBE: "portal:stop_mail",
    LinkPurpose.CALENDAR: "days:calendar_feed",
}


def find(token: str, purpose: LinkPurpose) -> AccessLink | None:
    """Return the link that a token opens now for this purpose.

    None for every other token: altered, of another purpose, expired, revoked, of an old version.
    """
    named = _named(token)
    if named is None:
        return None
    public_id, version = named
    now = timezone.now()
    return (
        AccessLink.objects.filter(
            public_id=public_id, version=version, purpose=purpose, revoked_at=None
        )
        .filter(Q(expires_at=None) | Q(expires_at__gt=now))
        .select_related("program")
        .first()
    )


def _named(token: str) -> tuple[UUID, int] | None:
    """Return what the token names under the present key, or a former one of the installation."""
    for secret in (settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS):
        named = tokens.read(token, str(secret))
        if named is not None:
            return named
    return None


def link_token(link: AccessLink) -> str:
    """Return the link's token; the same one as long as its version stands."""
    return tokens.make(link.public_id, link.version, settings.SECRET_KEY)


def link_url(link: AccessLink) -> str:
    """Return the whole address of the page that the link opens, for a mail or a paper."""
    path = reverse(PAGES[LinkPurpose(link.purpose)], args=[link_token(link)])
    return f"{settings.SITE_URL}{path}"
