from __future__ import annotations

import socket
from typing import TYPE_CHECKING

import pytest

from shared.jobs import nudge

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytest_django import Settings


@pytest.fixture
def _nobody_listens(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Point the site at a port where no Redis answers."""
    from program.celery import app  # noqa: PLC0415  # only these tests need Celery

    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))  # bound and not listening: each connection is refused
        settings.REDIS_URL = f"redis://127.0.0.1:{probe.getsockname()[1]}/0"
        monkeypatch.setattr(app.conf, "broker_url", settings.REDIS_URL)
        nudge.try_again()
        yield
    nudge.try_again()


def test_the_embedded_queue_needs_no_nudge(settings: Settings) -> None:
    settings.REDIS_URL = ""
    assert nudge.worker() is False


@pytest.mark.usefixtures("_nobody_listens")
def test_a_dead_broker_is_noted_once_and_left_in_peace(caplog: pytest.LogCaptureFixture) -> None:
    assert [nudge.worker(), nudge.worker()] == [False, False]
    assert [record.getMessage() for record in caplog.records] == [
        "No worker could be woken: OperationalError. The sweep will find the job."
    ]
    nudge.try_again()
    assert nudge.worker() is False
    assert len(caplog.records) == 2
