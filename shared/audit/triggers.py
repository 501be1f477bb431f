"""Triggers that refuse to change or delete the rows of an append-only table, on both databases.

They also run what a model declares to follow its inserts. A table rebuilt by a migration on SQLite
loses its triggers, so they are put back after every migrate; `install` may run any number of times.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.apps import apps
from django.db import connections, transaction

from shared.audit.models import AppendOnly

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from django.db.backends.base.base import BaseDatabaseWrapper

_SENTENCE = "These rows are never changed."
_REFUSED = ("update", "delete")

_SQLITE = """
CREATE TRIGGER IF NOT EXISTS "{table}_{act}_refused" BEFORE {act} ON "{table}"
BEGIN SELECT RAISE(ABORT, '{sentence}'); END
"""

_POSTGRESQL = """
CREATE OR REPLACE FUNCTION append_only_refuse() RETURNS trigger LANGUAGE plpgsql AS
$$ BEGIN RAISE EXCEPTION '{sentence}' USING ERRCODE = 'integrity_constraint_violation'; END $$;
CREATE OR REPLACE TRIGGER "{table}_{act}_refused" BEFORE {act} ON "{table}"
FOR EACH ROW EXECUTE FUNCTION append_only_refuse();
"""

_FOLLOWS_ON_SQLITE = """
CREATE TRIGGER "{table}_follows" AFTER INSERT ON "{table}" BEGIN {body} END
"""

# What follows looks rows up by their keys. Its plans are kept for a session: one made while a table
# fills a single page would go on reading it whole, through all of an import.
_FOLLOWS_ON_POSTGRESQL = """
CREATE OR REPLACE FUNCTION "{table}_follows"() RETURNS trigger LANGUAGE plpgsql
SET enable_seqscan = off AS
$$ BEGIN {body} RETURN NULL; END $$;
CREATE TRIGGER "{table}_follows" AFTER INSERT ON "{table}" REFERENCING NEW TABLE AS added
FOR EACH STATEMENT EXECUTE FUNCTION "{table}_follows"();
"""


def append_only_tables() -> list[str]:
    """Return the tables that may only be added to, sorted by name."""
    return sorted(model._meta.db_table for model in _models())


def names() -> list[str]:
    """Return the name of each trigger of a migrated database, sorted."""
    refusing = [f"{table}_{act}_refused" for table in append_only_tables() for act in _REFUSED]
    following = [f"{model._meta.db_table}_follows" for model in _models() if model.after_insert]
    return sorted(refusing + following)


def install(connection: BaseDatabaseWrapper) -> None:
    """Create the triggers on every append-only table that exists; what follows is made anew."""
    template = _SQLITE if connection.vendor == "sqlite" else _POSTGRESQL
    with transaction.atomic(connection.alias), connection.cursor() as cursor:
        for model in _existing(connection):
            table = model._meta.db_table
            for act in _REFUSED:
                cursor.execute(template.format(table=table, act=act, sentence=_SENTENCE))
            if body := model.after_insert.get(connection.vendor):
                cursor.execute(_dropped(connection, table, "follows"))
                cursor.execute(_following(connection, table, body))


def remove(connection: BaseDatabaseWrapper) -> None:
    """Drop the triggers. Only for a test's flush and a migration that rebuilds a table."""
    with connection.cursor() as cursor:
        for model in _existing(connection):
            for end in (*(f"{act}_refused" for act in _REFUSED), "follows"):
                cursor.execute(_dropped(connection, model._meta.db_table, end))


def lift(using: str = "default", plan: Sequence[object] = (), **_signal: Any) -> None:
    """Answer `pre_migrate`: SQLite rebuilds no table that a trigger of another one names.

    A migration that adds transfers itself adds up what they change, as `0003_ledger_rooms` does.
    """
    connection = connections[using]
    if connection.vendor == "sqlite" and plan:
        with connection.cursor() as cursor:
            for model in _existing(connection):
                cursor.execute(_dropped(connection, model._meta.db_table, "follows"))


def put_back(using: str = "default", **_signal: Any) -> None:
    """Answer `post_migrate`: the other signal of the project (see DEVELOPERS.md, decisions)."""
    install(connections[using])


def _models() -> Iterator[type[AppendOnly]]:
    return (model for model in apps.get_models() if issubclass(model, AppendOnly))


def _existing(connection: BaseDatabaseWrapper) -> list[type[AppendOnly]]:
    """Return the models whose table the database has, by the name of the table."""
    existing = set(connection.introspection.table_names())
    found = (model for model in _models() if model._meta.db_table in existing)
    return sorted(found, key=lambda model: model._meta.db_table)


def _following(connection: BaseDatabaseWrapper, table: str, body: str) -> str:
    template = _FOLLOWS_ON_SQLITE if connection.vendor == "sqlite" else _FOLLOWS_ON_POSTGRESQL
    return template.format(table=table, body=body)


def _dropped(connection: BaseDatabaseWrapper, table: str, end: str) -> str:
    on = "" if connection.vendor == "sqlite" else f' ON "{table}"'
    return f'DROP TRIGGER IF EXISTS "{table}_{end}"{on}'
