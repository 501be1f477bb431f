"""Who sees a sponsor's pages: whoever has their private link, or signs in for them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import wraps
from typing import TYPE_CHECKING, Any, Concatenate

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone, translation

from shared.accounts.access import requires
from shared.accounts.roles import RoleKind
from shared.links.access import HEADERS, link_or_404
from shared.links.purposes import LinkPurpose
from sponsors.portal.queries import sponsor_of_link, sponsor_of_user

if TYPE_CHECKING:
    from collections.abc import Callable

    from shared.accounts.access import StaffRequest
    from shared.accounts.models import User
    from sponsors.register.models import Sponsor


# The addresses that templates of the portal name.
_PLACES = {
    "needs": "need_list",
    "pledges": "pledge_list",
    "preferences": "preferences",
    "mail": "mail",
}


@dataclass(frozen=True, kw_only=True)
class Visit:
    """Whose pages are shown: by `token` of a private link, or to a user who signed in."""

    sponsor: Sponsor
    token: str = ""
    by: User | None = None

    def url(self, name: str, *args: object) -> str:
        """Return the address of a portal page for this visit."""
        return reverse(f"portal:{name}", args=[*([self.token] if self.token else []), *args])

    def context(self, **values: object) -> dict[str, object]:
        """Return what the frame of each portal page reads, with further values."""
        program = self.sponsor.program
        names = {"garage": program.name, "sponsor": self.sponsor.name, "program": program}
        pages = {f"{name}_url": self.url(page) for name, page in _PLACES.items()}
        return names | pages | {"token": self.token} | values


def sponsor_page(
    view: Callable[Concatenate[HttpRequest, Visit, ...], HttpResponse],
) -> Callable[..., HttpResponse]:
    """Open a view, called as `view(request, visit, …)`, to a sponsor and nobody else.

    Its address may hold a `token`. Without one a stranger is sent to the sign-in, and a user who is
    no sponsor gets 403; a token that opens nothing is a 404.
    """

    @wraps(view)
    def opened(request: HttpRequest, /, *args: Any, token: str = "", **kwargs: Any) -> HttpResponse:
        if not token:
            return signed_in(request, *args, **kwargs)
        link = link_or_404(request, token, LinkPurpose.PORTAL)
        visit = Visit(sponsor=_or_404(sponsor_of_link(link)), token=token)
        response = _shown(request, visit, *args, **kwargs)
        for name, value in HEADERS.items():
            response[name] = value
        return response

    @requires(RoleKind.SPONSOR)
    def signed_in(request: StaffRequest, /, *args: Any, **kwargs: Any) -> HttpResponse:
        sponsor = _or_404(sponsor_of_user(request.user))
        return _shown(request, Visit(sponsor=sponsor, by=request.user), *args, **kwargs)

    def _shown(request: HttpRequest, visit: Visit, *args: Any, **kwargs: Any) -> HttpResponse:
        sponsor = visit.sponsor
        with (
            translation.override(sponsor.address.language),
            timezone.override(sponsor.program.zone),
        ):
            return view(request, visit, *args, **kwargs)

    opened.access = frozenset()  # type: ignore[attr-defined]  # its own guard chooses
    return opened


def _or_404(sponsor: Sponsor | None) -> Sponsor:
    if sponsor is None:
        raise Http404
    return sponsor
