"""What every test runs under: own database and folders, repeatable properties, no network."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import settings as hypothesis_settings

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytest_django import Settings

# The same examples in each run, so that a red build is red for everybody.
hypothesis_settings.register_profile("handback", derandomize=True, deadline=None)
hypothesis_settings.load_profile("handback")


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    django_db_modify_db_settings_parallel_suffix: None,
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    """Put the test database of SQLite into a folder of this run, so that two runs can't meet.

    It stays a file, since a worker in another process can't see a database in memory. It outlives
    no run, so that nothing waits for the disk.
    """
    from django.conf import settings  # noqa: PLC0415  # settings are not read before they are set

    databases: dict[str, dict[str, Any]] = settings.DATABASES
    database = databases["default"]
    if "sqlite" in database["ENGINE"]:
        folder = tmp_path_factory.mktemp("database")
        database.setdefault("TEST", {})["NAME"] = str(folder / "test.sqlite3")
        database["OPTIONS"]["init_command"] += "PRAGMA synchronous=OFF;"


@pytest.fixture(autouse=True)
def _append_only_lifted_for_the_flush(request: pytest.FixtureRequest) -> Iterator[None]:
    """Let the flush after a transactional test empty the append-only tables.

    The flush ends in `post_migrate`, which puts the triggers back.
    """
    marker = request.node.get_closest_marker("django_db")
    asked = {"transactional_db", "live_server"} & set(request.fixturenames)
    transactional = asked or (marker is not None and marker.kwargs.get("transaction"))
    if transactional:
        request.getfixturevalue("_django_db_helper")  # so that its flush comes after the lifting
    yield
    if transactional:
        from django.db import connection  # noqa: PLC0415  # as above

        from shared.audit import triggers  # noqa: PLC0415  # as above

        triggers.remove(connection)


@pytest.fixture(autouse=True)
def _own_folders(settings: Settings, tmp_path: Path) -> None:
    """Give each test its own folders for photos and kept mail."""
    settings.VAR_DIR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "media"
    settings.MAIL_FOLDER = tmp_path / "mail"


@pytest.fixture(autouse=True)
def _no_misses_from_before() -> None:
    """Forget what earlier tests left in the cache: misses of private links bar an address."""
    from django.core.cache import cache  # noqa: PLC0415  # as above

    cache.clear()
