"""Two answers from one address: the whole page, or for htmx the part that changes.

A view names the part; the part is a `partialdef` of the page's own template and its name is the id
of the element it fills. Without script the same view answers with the page.
"""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from django.shortcuts import redirect, render, resolve_url
from django.utils.cache import patch_vary_headers
from django_htmx.http import HttpResponseClientRedirect

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse
    from django_htmx.middleware import HtmxDetails


def wants_part(request: HttpRequest) -> bool:
    """Return whether htmx asks for a part; on its way back through history it wants the page."""
    htmx: HtmxDetails | None = getattr(request, "htmx", None)
    return bool(htmx and not htmx.history_restore_request and not htmx.boosted)


def answer(
    request: HttpRequest,
    template: str,
    context: dict[str, Any],
    *,
    part: str = "",
    status: int = HTTPStatus.OK,
) -> HttpResponse:
    """Return the page, or its partial `part` when htmx asks and a part is named."""
    name = f"{template}#{part}" if part and wants_part(request) else template
    response = render(request, name, context, status=status)
    patch_vary_headers(response, ["HX-Request"])
    return response


def refused(
    request: HttpRequest, template: str, context: dict[str, Any], *, part: str = ""
) -> HttpResponse:
    """Return the page or part with what is wrong on it, status 422, which htmx swaps in."""
    return answer(request, template, context, part=part, status=HTTPStatus.UNPROCESSABLE_ENTITY)


def go(request: HttpRequest, to: Any, *args: Any, **kwargs: Any) -> HttpResponse:
    """Return the redirect after a change: to an address, a URL name or an object with one."""
    if wants_part(request):
        return HttpResponseClientRedirect(resolve_url(to, *args, **kwargs))
    response: HttpResponse = redirect(to, *args, **kwargs)
    return response
