"""Pages behind a private link: one decorator finds the link, counts misses and keeps it private."""

from __future__ import annotations

from contextlib import suppress
from functools import wraps
from typing import TYPE_CHECKING, Concatenate, ParamSpec

from django.core.cache import cache
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from shared.accounts.access import client_address
from shared.links.actions import note_use
from shared.links.queries import find

if TYPE_CHECKING:
    from collections.abc import Callable

    from shared.links.models import AccessLink
    from shared.links.purposes import LinkPurpose

MOST_MISSES = 20
MISSES_FORGOTTEN_AFTER = 10 * 60

# Mail scanners, caches and other sites must not learn the address of a private page. Not
# “no-referrer”: a browser then names no origin when its own form is sent, which Django refuses.
HEADERS = {
    "Referrer-Policy": "same-origin",
    "X-Robots-Tag": "noindex",
    "Cache-Control": "no-store",
}

P = ParamSpec("P")


def private_link(
    purpose: LinkPurpose,
) -> Callable[
    [Callable[Concatenate[HttpRequest, AccessLink, P], HttpResponse]],
    Callable[..., HttpResponse],
]:
    """Return a decorator that gives a view the link its URL's `token` opens, or answers 404.

    The view is called as `view(request, link)`; its URL holds `<str:token>`. A token that is
    wrong, altered, expired or taken back, and an address with too many misses, all look the same.
    """

    def decorate(
        view: Callable[Concatenate[HttpRequest, AccessLink, P], HttpResponse],
    ) -> Callable[..., HttpResponse]:
        @wraps(view)
        def opened(
            request: HttpRequest, /, token: str, *args: P.args, **kwargs: P.kwargs
        ) -> HttpResponse:
            link = link_or_404(request, token, purpose)
            with timezone.override(link.program.zone):
                response = view(request, link, *args, **kwargs)
            for name, value in HEADERS.items():
                response.setdefault(name, value)  # a view may be stricter
            return response

        opened.access = frozenset()  # type: ignore[attr-defined]
        return opened

    return decorate


def link_or_404(request: HttpRequest, token: str, purpose: LinkPurpose) -> AccessLink:
    """Return the link that the token opens, with its use noted; Http404 otherwise."""
    misses = f"link-misses:{client_address(request)}"
    link = None if cache.get(misses, 0) >= MOST_MISSES else find(token, purpose)
    if link is None:
        _count(misses)
        raise Http404
    note_use(link, timezone.now())
    return link


def _count(misses: str) -> None:
    """Add one miss; the count ends some time after the first."""
    if not cache.add(misses, 1, MISSES_FORGOTTEN_AFTER):
        with suppress(ValueError):  # the count ended between the two calls
            cache.incr(misses)
