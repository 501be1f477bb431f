"""Issuing a report: its number, its bytes, and what is refused."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.core.exceptions import ValidationError

from shared.documents.actions import issue
from tests.factories import make_intake, make_user
from vehicles.inspection.values import Issue
from vehicles.inspection.writing import issue_report, issued, next_number

if TYPE_CHECKING:
    from shared.models import Document, User
    from vehicles.models import Intake

pytestmark = pytest.mark.django_db


def write(stay: Intake, by: User, number: str = "", kind: Issue = Issue.FILE) -> Document:
    return issue_report(
        intake=stay,
        kind=kind,
        number=number or next_number(stay),
        compose=lambda stay, number: f"{stay.pk} {number}".encode(),
        by=by,
    )


def test_reports_are_numbered_by_stay_and_kept_as_composed() -> None:
    stay, other = make_intake(), make_intake()
    by = make_user(program=stay.program)
    first, second = write(stay, by), write(stay, by)
    assert (first.number, second.number) == (f"R-{stay.pk}-1", f"R-{stay.pk}-2")
    assert bytes(second.content) == f"{stay.pk} {second.number}".encode()
    assert next_number(other) == f"R-{other.pk}-1"


def test_the_list_has_the_newest_first_and_no_other_papers() -> None:
    stay = make_intake()
    by = make_user(program=stay.program)
    first, second = write(stay, by), write(stay, by)
    issue(holder=stay, number="N-1", title="Notice", content=b"", by=by)
    assert list(issued(stay)) == [second, first]


def test_the_same_number_from_another_person_or_for_another_paper_is_refused() -> None:
    stay = make_intake()
    by = make_user(program=stay.program)
    known = write(stay, by)
    assert write(stay, by, known.number) == known
    for who, kind in ((make_user(program=stay.program), Issue.FILE), (by, Issue.SPANISH)):
        with pytest.raises(ValidationError, match="Another report of this stay was issued"):
            write(stay, who, known.number, kind)


@pytest.mark.parametrize("number", ["R-9-1", "R-1-99", "x" * 200])
def test_a_number_that_nobody_offered_is_refused(number: str) -> None:
    stay = make_intake()
    with pytest.raises(ValidationError, match="Another report of this stay was issued meanwhile"):
        write(stay, make_user(program=stay.program), number)
