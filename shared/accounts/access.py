"""Who may open a page: pages are private unless they say otherwise.

Every view carries one of these decorators; each leaves its mark in `view.access`, and a test walks
all URLs for views without one.
"""

from __future__ import annotations

from functools import wraps
from typing import TYPE_CHECKING, Any, Concatenate, ParamSpec

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.utils import timezone, translation

from shared.accounts.models import User
from shared.accounts.roles import RoleKind

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http.response import HttpResponseBase

P = ParamSpec("P")


class StaffRequest(HttpRequest):
    """A request whose user is known to be signed in; what views behind `requires` are given."""

    user: User


def requires(
    *kinds: RoleKind,
) -> Callable[
    [Callable[Concatenate[StaffRequest, P], HttpResponseBase]],
    Callable[Concatenate[HttpRequest, P], HttpResponse],
]:
    """Return a decorator that opens a view to users who hold one of `kinds` today.

    A stranger is sent to the sign-in page; a user without the role gets 403.
    """

    def decorate(
        view: Callable[Concatenate[StaffRequest, P], HttpResponseBase],
    ) -> Callable[Concatenate[HttpRequest, P], HttpResponse]:
        @wraps(view)
        def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
            user = request.user
            if not isinstance(user, User) or not user.is_active:
                return redirect_to_login(request.get_full_path())
            if not user.is_any_of(kinds):
                raise PermissionDenied
            # The user was checked above; a file that streams is an answer like any other.
            return view(request, *args, **kwargs)  # type: ignore[arg-type,return-value]

        guarded.access = frozenset(kinds)  # type: ignore[attr-defined]
        return guarded

    return decorate


def public(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Mark a view as open to everybody: sign-in, private links, public lists."""

    @wraps(view)
    def opened(*args: Any, **kwargs: Any) -> HttpResponse:
        return view(*args, **kwargs)

    opened.access = frozenset()  # type: ignore[attr-defined]
    return opened


def client_address(request: HttpRequest) -> str:
    """Return the address that a request comes from, for counting its failures.

    Only our own proxy is believed, and of what it passes on only the last entry, its own; a client
    may have forged the entries before.
    """
    peer: str = request.META.get("REMOTE_ADDR", "")
    if peer in settings.TRUSTED_PROXIES:
        forwarded: str = request.headers.get("x-forwarded-for", "")
        return forwarded.rpartition(",")[2].strip() or peer
    return peer


class ForTheReader:
    """Middleware: pages in the reader's language, by the clock of the reader's program.

    Staff pages are English, a sponsor's are in the sponsor's language. Pages that anybody may open
    keep what `LocaleMiddleware` chose; a page behind a private link sets its own.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        with timezone.override(None):
            return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Callable[..., HttpResponse], *_arguments: Any
    ) -> None:
        """Choose by whom the view is for, before it is called."""
        kinds: frozenset[RoleKind] = getattr(view, "access", frozenset())
        if not kinds or not isinstance(request.user, User):
            return
        translation.activate(request.user.language if RoleKind.SPONSOR in kinds else "en")
        if request.user.program is not None:
            timezone.activate(request.user.program.zone)
