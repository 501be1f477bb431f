"""Who may open the pages of decisions, and the rows that such a page is about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import Http404
from django.shortcuts import get_object_or_404

from program.decisions.gathering import stay_of
from program.decisions.queries import cases_for, supplements_for, works
from shared.accounts.roles import OFFICE, SHOP, RoleKind

if TYPE_CHECKING:
    from program.cases.models import Case
    from program.decisions.models import Supplement
    from program.decisions.queries import Work
    from shared.accounts.models import User
    from vehicles.intake.models import Intake

READERS = tuple(sorted(SHOP | OFFICE))
ASKERS = (RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN, RoleKind.TECHNICIAN)
BUDGET = (RoleKind.COORDINATOR, RoleKind.TREASURER)


def case_of(user: User, number: str) -> tuple[Case, Intake]:
    """Return a case and its newest stay; a tie makes it look as if there were none.

    Raises:
        Http404: the user may see no such case, or its car never came.
    """
    case = get_object_or_404(cases_for(user), number=number)
    stay = stay_of(case)
    if stay is None:
        raise Http404
    return case, stay


def work_of(stay: Intake) -> Work:
    """Return how far an authorized stay is.

    Raises:
        Http404: nothing is authorized on it.
    """
    work = works([stay.pk]).get(stay.pk)
    if work is None:
        raise Http404
    return work


def supplement_of(user: User, number: str, pk: int) -> Supplement:
    """Return a supplement of a case that the user may see.

    Raises:
        Http404: there is none.
    """
    return get_object_or_404(supplements_for(user), authorization__case__number=number, pk=pk)
