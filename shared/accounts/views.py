"""Signing in and out. Too many failures are answered 429 by axes, before the form is read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.conf import settings
from django.contrib.auth import login, logout
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from shared import htmx
from shared.accounts.access import public
from shared.accounts.forms import SignInForm

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse


@public
@never_cache
@sensitive_post_parameters("password")
def sign_in(request: HttpRequest) -> HttpResponse:
    if request.user.is_authenticated:
        return redirect(_target(request))
    sent = request.method == "POST"
    form = SignInForm(request, request.POST if sent else None)
    context = {"form": form, "next": _asked_for(request)}
    if not sent:
        return htmx.answer(request, "accounts/sign_in.html", context)
    if not form.is_valid():
        return htmx.refused(request, "accounts/sign_in.html", context)
    login(request, form.get_user())
    return redirect(_target(request))


@public
@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    logout(request)
    return redirect(settings.LOGOUT_REDIRECT_URL)


def _asked_for(request: HttpRequest) -> str:
    """Return the page that somebody wanted before they had to sign in; never one elsewhere."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    own = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if own else ""


def _target(request: HttpRequest) -> str:
    return _asked_for(request) or settings.LOGIN_REDIRECT_URL
