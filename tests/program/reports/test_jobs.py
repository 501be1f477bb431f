"""A worker makes the file, once."""

from __future__ import annotations

import pytest

from program.reports.jobs import make_year_file
from tests.factories import make_program
from tests.program.reports.books import books, made

pytestmark = pytest.mark.django_db


def test_a_file_that_was_made_is_not_made_again() -> None:
    books()
    file = made()
    assert file.size > 0
    assert make_year_file({"file": file.pk}, make_program()) is None


def test_a_second_try_writes_at_the_same_place() -> None:
    books()
    file = made()
    type(file).objects.filter(pk=file.pk).update(made_at=None, path="")
    write = make_year_file({"file": file.pk}, make_program())
    assert write is not None
    write()
    path = file.path
    file.refresh_from_db()
    assert file.path == path
