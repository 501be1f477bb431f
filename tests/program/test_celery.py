"""Celery and Redis for real: a Redis server and workers of our own, killed at the worst moment."""

from __future__ import annotations

import datetime as dt
import shutil
import socket
import subprocess
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import pytest
from django.utils import timezone

from program.celery import app
from shared.audit.models import Event
from shared.jobs import nudge
from shared.jobs.actions import ask
from shared.jobs.models import Job
from shared.jobs.states import JobState
from tests.factories import make_program
from tests.workers import CELERY, Gate, Pipe, kill, worker
from tests.workload import EFFECT

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytest_django import Settings

pytestmark = [
    pytest.mark.slow,
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        shutil.which("redis-server") is None, reason="No redis-server is installed here."
    ),
]


@contextmanager
def redis_server(port: int, folder: Path) -> Iterator[subprocess.Popen[str]]:
    """Run a Redis server until it is left; it is ready when the block begins."""
    command = ["redis-server", "--port", str(port), "--save", "", "--dir", str(folder)]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)  # noqa: S603  # fixed
    assert process.stdout is not None
    with process.stdout:
        next(line for line in process.stdout if "Ready to accept connections" in line)
        try:
            yield process
        finally:
            process.kill()
            process.wait()


@pytest.fixture(scope="module")
def free_port() -> int:
    """Return one port for all, as a site has one: its pool of connections outlives a server."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture
def port(free_port: int, settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Iterator[int]:
    """Return the port that the site and its workers are told to find Redis at."""
    settings.REDIS_URL = f"redis://127.0.0.1:{free_port}/0"
    settings.JOB_WORK = "tests.workload.WORK"
    settings.JOB_SCHEDULES = "tests.workload.SCHEDULES"
    monkeypatch.setattr(app.conf, "broker_url", settings.REDIS_URL)
    nudge.try_again()
    yield free_port
    nudge.try_again()


class Shop:
    """The pipes to a worker and the gate before it, and the jobs that use them."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.begun, self.bell = Pipe(folder / "begun"), Pipe(folder / "bell")
        self.go = Gate(folder / "go")

    def ask(self, kind: str, **payload: Any) -> Job:
        pipes = {"begun": str(self.begun), "go": str(self.go), "bell": str(self.bell)}
        return ask(program=make_program(), key=f"{kind}:1", kind=kind, payload=pipes | payload)

    def bring_to_its_end(self) -> None:
        """Let the work go on, and wait until the worker has come to the job behind it."""
        self.ask("ring")
        self.go.open()
        assert self.bell.hear() == "ring"


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(tmp_path)


def celery(port: int, folder: Path) -> Any:
    return worker(CELERY, folder, REDIS_URL=f"redis://127.0.0.1:{port}/0")


def outcome(job: Job) -> tuple[str, int, int]:
    """Return the job's state, its attempts, and how often its effect was written."""
    job.refresh_from_db()
    return job.state, job.attempts, Event.objects.filter(what=EFFECT).count()


def test_a_job_that_is_asked_for_is_done_by_a_worker(port: int, shop: Shop) -> None:
    with redis_server(port, shop.folder), celery(port, shop.folder):
        job = shop.ask("held")
        assert shop.begun.hear() == "begun"
        shop.bring_to_its_end()
        assert outcome(job) == (JobState.DONE, 1, 1)


def test_a_worker_killed_in_the_middle_loses_nothing_and_does_nothing_twice(
    port: int, shop: Shop
) -> None:
    with redis_server(port, shop.folder):
        job = shop.ask("held")
        with celery(port, shop.folder) as first:
            assert shop.begun.hear() == "begun"
            kill(first)
        assert outcome(job) == (JobState.RUNNING, 1, 0)
        Job.objects.update(lease_until=timezone.now() - dt.timedelta(seconds=1))
        with celery(port, shop.folder):
            app.send_task("shared.jobs.tick")  # as the beat does each 30 s
            assert shop.begun.hear() == "begun"
            shop.bring_to_its_end()
            assert outcome(job) == (JobState.DONE, 2, 1)


def test_what_is_asked_for_while_redis_is_down_is_found_by_the_sweep(port: int, shop: Shop) -> None:
    job = shop.ask("held")
    assert outcome(job) == (JobState.PENDING, 0, 0)
    with redis_server(port, shop.folder), celery(port, shop.folder):
        nudge.try_again()
        app.send_task("shared.jobs.tick")
        assert shop.begun.hear() == "begun"
        shop.bring_to_its_end()
        assert outcome(job) == (JobState.DONE, 1, 1)


def test_a_worker_and_redis_killed_together_lose_nothing(port: int, shop: Shop) -> None:
    with redis_server(port, shop.folder) as redis, celery(port, shop.folder) as first:
        job = shop.ask("held")
        assert shop.begun.hear() == "begun"
        kill(first)
        redis.kill()
    Job.objects.update(lease_until=timezone.now() - dt.timedelta(seconds=1))
    with redis_server(port, shop.folder), celery(port, shop.folder):
        app.send_task("shared.jobs.tick")
        assert shop.begun.hear() == "begun"
        shop.bring_to_its_end()
        assert outcome(job) == (JobState.DONE, 2, 1)
