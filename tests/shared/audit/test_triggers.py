from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.core.management import call_command
from django.db import connection

from program.models import Balance, Entry, Fund, Transfer, Turnover
from shared.audit import triggers
from shared.audit.models import Event
from tests.factories import make_program

if TYPE_CHECKING:
    from django.db.models import Model

ON_SQLITE = "SELECT name FROM sqlite_master WHERE type = 'trigger'"
ON_POSTGRESQL = "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal"


def names() -> set[str]:
    """Return the triggers that the database itself knows."""
    with connection.cursor() as cursor:
        cursor.execute(ON_SQLITE if connection.vendor == "sqlite" else ON_POSTGRESQL)
        return {name for (name,) in cursor.fetchall()}


def expected() -> set[str]:
    return set(triggers.names())


def test_the_log_the_ledger_its_papers_and_the_signatures_may_only_grow() -> None:
    assert triggers.append_only_tables() == [
        *("program_entry", "program_paper", "program_transfer"),
        *("shared_event", "shared_signature"),
    ]


def test_each_table_refuses_twice_and_what_a_model_declares_follows_its_inserts() -> None:
    tables = triggers.append_only_tables()
    refusing = {f"{table}_{act}_refused" for table in tables for act in ("update", "delete")}
    assert expected() - refusing == {"program_transfer_follows"}
    assert refusing - expected() == set()


@pytest.mark.django_db
def test_a_migrated_database_guards_each_append_only_table() -> None:
    assert names() == expected()


@pytest.mark.django_db
def test_triggers_may_be_put_on_any_number_of_times() -> None:
    triggers.install(connection)
    triggers.install(connection)
    assert names() == expected()


@pytest.mark.django_db
def test_lifting_them_lifts_all() -> None:
    triggers.remove(connection)
    assert names() == set()


@pytest.mark.django_db(transaction=True)
def test_a_rebuilt_table_is_guarded_again_after_a_migrate() -> None:
    with connection.schema_editor() as editor:
        if connection.vendor == "sqlite":
            # What each new constraint does on SQLite: a new table, the rows moved, the old dropped.
            editor._remake_table(Event)  # type: ignore[attr-defined]  # noqa: SLF001
    if connection.vendor != "sqlite":
        triggers.remove(connection)
    assert "shared_event_update_refused" not in names()
    call_command("migrate", verbosity=0)
    assert names() == expected()


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("model", [Transfer, Entry, Fund, Balance, Turnover])
def test_a_table_that_a_trigger_reads_or_writes_can_be_rebuilt(model: type[Model]) -> None:
    triggers.lift(plan=["a migration"])
    if connection.vendor == "sqlite":
        assert "program_transfer_follows" not in names()
        with connection.schema_editor() as editor:
            editor._remake_table(model)  # type: ignore[attr-defined]  # noqa: SLF001
    triggers.put_back()
    assert names() == expected()


@pytest.mark.django_db
def test_a_migrate_with_nothing_to_do_lifts_nothing() -> None:
    triggers.lift(plan=[])
    assert names() == expected()


@pytest.mark.django_db(transaction=True)
def test_a_transactional_test_leaves_rows_for_the_flush_to_take() -> None:
    Event.objects.create(program=make_program(), kind="program", object_id=1, what="Left here.")
    assert Event.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_a_transactional_test_begins_with_an_empty_and_guarded_log() -> None:
    assert (Event.objects.count(), names()) == (0, expected())
