from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.db import DatabaseError, connection, transaction

from shared.audit.actions import log_event
from shared.audit.models import AppendOnlyError, Event
from tests.factories import make_address, make_program

if TYPE_CHECKING:
    from collections.abc import Callable

pytestmark = pytest.mark.django_db

SENTENCE = "These rows are never changed. Write a new one that corrects the old."


@pytest.fixture
def line() -> Event:
    return log_event(make_program(), "Set up.", by=None)


@pytest.mark.parametrize(
    "change",
    [
        lambda line: line.save(),
        lambda line: line.delete(),
        lambda _: Event.objects.update(what="Nothing."),
        lambda _: Event.objects.all().delete(),
        lambda line: Event.objects.bulk_update([line], ["what"]),
    ],
    ids=["save", "delete", "update all", "delete all", "bulk update"],
)
def test_a_line_is_refused_any_change_in_code(
    line: Event, change: Callable[[Event], object]
) -> None:
    with pytest.raises(AppendOnlyError) as refusal:
        change(line)
    assert str(refusal.value) == SENTENCE
    assert Event.objects.get().what == "Set up."


@pytest.mark.parametrize(
    "statement", ["UPDATE shared_event SET what = 'Nothing.'", "DELETE FROM shared_event"]
)
def test_a_line_is_refused_any_change_in_the_database(line: Event, statement: str) -> None:
    with (
        pytest.raises(DatabaseError, match="These rows are never changed"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(statement)
    assert Event.objects.get().what == "Set up."


def test_lines_about_one_object_come_newest_first() -> None:
    first, other = make_address(), make_address()
    lines = [log_event(first, what, by=None) for what in ("One.", "Two.")]
    log_event(other, "Elsewhere.", by=None)
    assert list(Event.objects.about("address", first.pk)) == lines[::-1]
