"""The list of files."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shared.accounts.roles import RoleKind
from tests.program.reports.books import books, made
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db


def test_a_file_is_listed_with_its_days(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    assert "No file was made yet" in words(client.get("/money/files/"))
    books()
    made()
    assert "Jan 1, 2026 to Dec 31, 2026" in words(client.get("/money/files/"))
