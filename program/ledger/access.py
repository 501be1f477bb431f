"""Who keeps the books."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import Http404

from shared.accounts.roles import RoleKind

if TYPE_CHECKING:
    from shared.accounts.access import StaffRequest
    from shared.accounts.models import Program

BOOKS = frozenset({RoleKind.COORDINATOR, RoleKind.TREASURER})


def program_of(request: StaffRequest) -> Program:
    """Return the reader's program; without one there are no books."""
    if request.user.program is None:
        raise Http404
    return request.user.program
