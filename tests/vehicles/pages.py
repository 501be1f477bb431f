"""Signing in, and reading what a page says."""

from __future__ import annotations

import re
from html import unescape
from typing import TYPE_CHECKING, Any

from shared.accounts.roles import RoleKind
from tests.factories import make_user

if TYPE_CHECKING:
    from django.test import Client

    from shared.models import User

BACKEND = "django.contrib.auth.backends.ModelBackend"
HTMX = {"HX-Request": "true"}


def sign_in(client: Client, role: RoleKind = RoleKind.TECHNICIAN) -> User:
    """Sign a user of one role in, and return the user."""
    user = make_user(role)
    client.force_login(user, BACKEND)
    return user


def words(response: Any) -> str:
    """Return the text of a page's main part, on one line."""
    html = response.content.decode()
    main = re.search(r"<main.*</main>", html, re.DOTALL)
    text = re.sub(r"<[^>]+>", " ", main.group() if main else html)
    return re.sub(r"\s+([.,:;])", r"\1", re.sub(r"\s+", " ", unescape(text))).strip()
