"""The places of the navigation: which exist, which the reader may open, where the reader is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django import template
from django.urls import NoReverseMatch, reverse
from django.utils.translation import gettext, gettext_noop

from shared.accounts.models import User
from shared.accounts.roles import OFFICE, SHOP, STAFF, RoleKind

if TYPE_CHECKING:
    from django.template.context import Context

register = template.Library()

FEW = 4  # up to so many places stand together instead of spreading over a phone's width


@dataclass(frozen=True, kw_only=True)
class Place:
    """One entry of the navigation: a page, who sees it, and what counts as being there.

    `rooms` holds how the names of such pages begin: a room, or one page of it (`desk:case`).
    """

    label: str
    url_name: str
    rooms: frozenset[str]
    kinds: frozenset[RoleKind]


PLACES = {
    "staff": (
        Place(
            label=gettext_noop("Desk"),
            url_name="desk:first_page",
            rooms=frozenset({"desk:first"}),
            kinds=STAFF,
        ),
        Place(
            label=gettext_noop("Week"),
            url_name="planning:week",
            rooms=frozenset({"planning", "days"}),
            kinds=OFFICE,
        ),
        Place(
            label=gettext_noop("Cases"),
            url_name="desk:case_list",
            rooms=frozenset({"desk:case", "households:"}),
            kinds=OFFICE | {RoleKind.CASEWORKER},
        ),
        Place(
            label=gettext_noop("Cars"),
            url_name="intake:vehicle_list",
            rooms=frozenset(
                {"intake", "inspection", "repairs", "estimates", "custody", "shop", "wheels"}
            ),
            kinds=SHOP,
        ),
        Place(
            label=gettext_noop("Sponsors"),
            url_name="register:sponsor_list",
            rooms=frozenset({"register", "pledges", "matching", "appeals", "purchasing"}),
            kinds=OFFICE,
        ),
        Place(
            label=gettext_noop("Money"),
            url_name="funds:fund_list",
            rooms=frozenset(
                {
                    "ledger",
                    "papers",
                    "funds",
                    "gifts",
                    "grants",
                    "budget",
                    "bank",
                    "statements",
                    "closing",
                    "reports",
                }
            ),
            kinds=OFFICE,
        ),
    ),
    "portal": (
        Place(
            label=gettext_noop("Open needs"),
            url_name="portal:need_list",
            rooms=frozenset(),
            kinds=frozenset({RoleKind.SPONSOR}),
        ),
        Place(
            label=gettext_noop("What you gave"),
            url_name="portal:pledge_list",
            rooms=frozenset(),
            kinds=frozenset({RoleKind.SPONSOR}),
        ),
        Place(
            label=gettext_noop("Your settings"),
            url_name="portal:preferences",
            rooms=frozenset(),
            kinds=frozenset({RoleKind.SPONSOR}),
        ),
    ),
}


def _url(place: Place, arguments: list[object]) -> str:
    """Return the place's address, or nothing while the page doesn't exist."""
    try:
        return reverse(place.url_name, args=arguments)
    except NoReverseMatch:
        return ""


def _current(place: Place, url: str, request: Any) -> str:
    """Return `page` on the place itself, `true` on a page of its rooms, nothing elsewhere."""
    if request.path == url:
        return "page"
    match = request.resolver_match
    return "true" if match and match.view_name.startswith(tuple(place.rooms)) else ""


@register.inclusion_tag("shared/nav.html", takes_context=True)
def places(context: Context, which: str = "staff", *arguments: object) -> dict[str, object]:
    """Return the navigation of `staff` or `portal`; further arguments go to each address.

    A place that has no page yet is left out, and so is one that the reader may not open. A portal
    page behind a private link has no signed-in user: it passes its token and sees all three.
    """
    request = context.get("request")
    if request is None:
        return {"places": []}
    user = getattr(request, "user", None)
    kinds = user.role_kinds() if isinstance(user, User) else frozenset()
    shown = []
    for place in PLACES[which]:
        url = _url(place, list(arguments))
        if url and (arguments or kinds & place.kinds):
            current = _current(place, url, request)
            shown.append({"label": gettext(place.label), "url": url, "current": current})
    return {"places": shown, "few": len(shown) <= FEW}


@register.filter
def roles_in_words(user: User) -> str:
    """Return the user's roles of today, such as `coordinator, treasurer`."""
    return ", ".join(sorted(kind.label.lower() for kind in user.role_kinds()))
