"""Asking for the file of the books."""

from __future__ import annotations

from datetime import date

import pytest
from django.core.exceptions import ValidationError

from program.models import YearFile
from program.reports.actions import ask_year_file, job_key, keep
from shared.accounts.roles import RoleKind
from shared.jobs.models import Job
from shared.models import Event
from tests.factories import make_user
from tests.program.reports.books import KEY

pytestmark = pytest.mark.django_db
FIRST, LAST = date(2026, 1, 1), date(2026, 12, 31)


def test_asked_for_twice_with_one_key_it_is_one_file_and_one_job() -> None:
    user = make_user(RoleKind.TREASURER)
    files = [ask_year_file(from_on=FIRST, until_on=LAST, key=KEY, by=user) for _ in range(2)]
    assert files[0] == files[1]
    assert Job.objects.filter(key=job_key(files[0])).count() == 1
    assert Event.objects.about("yearfile", files[0].pk).count() == 1


def test_days_in_the_wrong_order_are_refused() -> None:
    with pytest.raises(ValidationError) as refusal:
        ask_year_file(from_on=LAST, until_on=FIRST, key=KEY, by=make_user(RoleKind.TREASURER))
    assert refusal.value.message_dict == {"until_on": ["The last day lies before the first."]}
    assert not YearFile.objects.exists()


def test_somebody_without_a_program_has_no_books() -> None:
    stranger = make_user(RoleKind.TREASURER)
    stranger.program = None
    with pytest.raises(ValidationError, match=r"Only somebody of a program has books\."):
        ask_year_file(from_on=FIRST, until_on=LAST, key=KEY, by=stranger)


def test_what_was_made_is_written_down() -> None:
    user = make_user(RoleKind.TREASURER)
    file = ask_year_file(from_on=FIRST, until_on=LAST, key=KEY, by=user)
    keep(file, path="books/1.zip", size=7, sha256="0" * 64, counts={"papers": 1})
    file.refresh_from_db()
    assert (file.path, file.size, file.counts) == ("books/1.zip", 7, {"papers": 1})
    assert file.made_at is not None
