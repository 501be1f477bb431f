from __future__ import annotations

import pytest
from django.http import Http404

from program.decisions.access import ASKERS, BUDGET, READERS, case_of, supplement_of, work_of
from shared.accounts.roles import RoleKind
from tests.factories import make_case, make_user
from tests.program.decisions.story import make_car, make_supplement

pytestmark = pytest.mark.django_db


def test_whoever_asks_or_grants_also_reads_and_no_outsider_does() -> None:
    assert {*ASKERS, *BUDGET} <= set(READERS)
    assert {RoleKind.SPONSOR, RoleKind.CASEWORKER}.isdisjoint(READERS)


def test_a_case_whose_car_never_came_has_no_page() -> None:
    with pytest.raises(Http404):
        case_of(make_user(), make_case().number)


def test_a_stay_that_nobody_authorized_has_no_work() -> None:
    _, stay = make_car()
    with pytest.raises(Http404):
        work_of(stay)


def test_a_supplement_is_found_by_its_case_and_number() -> None:
    row = make_supplement()
    number = row.authorization.case.number
    assert supplement_of(make_user(), number, row.pk) == row
    assert case_of(make_user(), number) == (row.authorization.case, row.authorization.intake)
