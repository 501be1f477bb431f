"""Triggers that refuse to change or delete the rows of an append-only table, on both databases.

A table rebuilt by a migration on SQLite loses its triggers, so they are put back after every
migrate; `install` may run any number of times.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.apps import apps
from django.db import connections

from shared.audit.models import AppendOnly

if TYPE_CHECKING:
    from django.db.backends.base.base import BaseDatabaseWrapper

_SENTENCE = "These rows are never changed."

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


def append_only_tables() -> list[str]:
    """Return the tables that may only be added to, sorted by name."""
    models = (model for model in apps.get_models() if issubclass(model, AppendOnly))
    return sorted(model._meta.db_table for model in models)


def install(connection: BaseDatabaseWrapper) -> None:
    """Create the missing triggers on every append-only table that exists."""
    template = _SQLITE if connection.vendor == "sqlite" else _POSTGRESQL
    existing = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for table in append_only_tables():
            for act in ("update", "delete"):
                if table in existing:
                    cursor.execute(template.format(table=table, act=act, sentence=_SENTENCE))


def remove(connection: BaseDatabaseWrapper) -> None:
    """Drop the triggers. Only for a test's flush and a migration that rebuilds a table."""
    suffix = "" if connection.vendor == "sqlite" else ' ON "{table}"'
    existing = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for table in append_only_tables():
            for act in ("update", "delete"):
                if table in existing:
                    drop = f'DROP TRIGGER IF EXISTS "{table}_{act}_refused"{suffix}'
                    cursor.execute(drop.format(table=table))


def put_back(using: str = "default", **_signal: Any) -> None:
    """Answer `post_migrate`: the one signal of the project (see DEVELOPERS.md, decisions)."""
    install(connections[using])
