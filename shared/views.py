"""The answer to a bug: a calm page with a number that is also in the log."""

from __future__ import annotations

import logging
import secrets
import sys
from typing import TYPE_CHECKING

from django.http import HttpResponseServerError
from django.template import loader

from shared.accounts.access import public

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

log = logging.getLogger("handback.errors")


@public
def server_error(request: HttpRequest) -> HttpResponse:
    """Answer 500. The log names the page by its URL's name: an address may hold a private link."""
    number = secrets.token_hex(4)
    match = request.resolver_match
    page = match.view_name if match else "unknown page"
    log.error("Error %s on %s", number, page, exc_info=sys.exc_info())
    return HttpResponseServerError(loader.render_to_string("500.html", {"number": number}))
