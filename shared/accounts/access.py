"""Who may open a page: pages are private unless they say otherwise.

Every view carries one of these decorators; each leaves its mark in `view.access`, and a test walks
all URLs for views without one.
"""

from __future__ import annotations

from functools import wraps
from typing import TYPE_CHECKING, Any, Concatenate, ParamSpec

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse

from shared.accounts.models import User

if TYPE_CHECKING:
    from collections.abc import Callable

    from shared.accounts.roles import RoleKind

P = ParamSpec("P")


class StaffRequest(HttpRequest):
    """A request whose user is known to be signed in; what views behind `requires` are given."""

    user: User


def requires(
    *kinds: RoleKind,
) -> Callable[
    [Callable[Concatenate[StaffRequest, P], HttpResponse]],
    Callable[Concatenate[HttpRequest, P], HttpResponse],
]:
    """Return a decorator that opens a view to users who hold one of `kinds` today.

    A stranger is sent to the sign-in page; a user without the role gets 403.
    """

    def decorate(
        view: Callable[Concatenate[StaffRequest, P], HttpResponse],
    ) -> Callable[Concatenate[HttpRequest, P], HttpResponse]:
        @wraps(view)
        def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
            user = request.user
            if not isinstance(user, User) or not user.is_active:
                return redirect_to_login(request.get_full_path())
            if not user.is_any_of(kinds):
                raise PermissionDenied
            return view(request, *args, **kwargs)  # type: ignore[arg-type]  # user checked above

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
