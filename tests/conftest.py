"""What every test runs under: own database and folders, repeatable properties, no network."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import settings as hypothesis_settings

if TYPE_CHECKING:
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

    It stays a file: a worker in another process can't see a database in memory.
    """
    from django.conf import settings  # noqa: PLC0415  # settings are not read before they are set

    databases: dict[str, dict[str, Any]] = settings.DATABASES
    database = databases["default"]
    if "sqlite" in database["ENGINE"]:
        folder = tmp_path_factory.mktemp("database")
        database.setdefault("TEST", {})["NAME"] = str(folder / "test.sqlite3")


@pytest.fixture(autouse=True)
def _own_folders(settings: Settings, tmp_path: Path) -> None:
    """Give each test its own folders for photos and kept mail."""
    settings.VAR_DIR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "media"
    settings.MAIL_FOLDER = tmp_path / "mail"
