"""Who keeps the books, and whose books they are."""

from __future__ import annotations

from typing import Any

import pytest
from django.http import Http404
from django.test import RequestFactory

from program.ledger.access import BOOKS, program_of
from shared.accounts.roles import RoleKind
from tests.factories import make_program, make_user

pytestmark = pytest.mark.django_db


def request_of(user: Any) -> Any:
    request: Any = RequestFactory().get("/money/")
    request.user = user
    return request


def test_the_books_are_those_of_the_readers_program() -> None:
    assert program_of(request_of(make_user())) == make_program()


def test_somebody_without_a_program_finds_no_books() -> None:
    user = make_user()
    user.program = None
    with pytest.raises(Http404):
        program_of(request_of(user))


def test_coordinator_and_treasurer_write_and_the_board_reads() -> None:
    assert frozenset({RoleKind.COORDINATOR, RoleKind.TREASURER}) == BOOKS
