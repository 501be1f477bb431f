"""Asking for pages as somebody who is signed in, or who has a private link."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.test import Client

from shared.accounts.roles import RoleKind
from shared.links.queries import link_token
from sponsors.register.actions import give_portal_link
from tests.factories.shared import make_user

if TYPE_CHECKING:
    from sponsors.models import Sponsor


def client_of(role: RoleKind | None = RoleKind.COORDINATOR) -> Client:
    """Return a browser in which a user with one role is signed in."""
    client = Client()
    client.force_login(make_user(role), backend="django.contrib.auth.backends.ModelBackend")
    return client


def token_of(sponsor: Sponsor) -> str:
    """Return the token of a sponsor's private page."""
    token: str = link_token(give_portal_link(sponsor=sponsor, by=None))
    return token
