"""Starting and killing real workers on the test database, and hearing what they do."""

from __future__ import annotations

import fcntl
import os
import select
import signal
import subprocess
import sys
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from django.db import connection

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).resolve().parent.parent
PATIENCE_SECONDS = 60
EMBEDDED = [sys.executable, "manage.py", "jobs", "--lanes", "1", "--poll", "0.05"]
CELERY = [
    *(sys.executable, "-m", "celery", "-A", "program.celery", "worker"),
    *("--concurrency", "1", "--loglevel", "ERROR", "--without-gossip", "--without-mingle"),
]


def database_url() -> str:
    """Return the address of the test database, for another process."""
    values = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{values['NAME']}"
    host = str(values["HOST"]).replace("/", "%2F")
    user = f"{values['USER']}:{values['PASSWORD']}" if values["PASSWORD"] else values["USER"]
    return f"postgres://{user}@{host}:{values['PORT']}/{values['NAME']}"


class Pipe:
    """One named pipe, written by workers and heard by the test."""

    def __init__(self, path: Path) -> None:
        self.path = path
        os.mkfifo(path)

    def __str__(self) -> str:
        return str(self.path)

    def hear(self) -> str:
        """Return what the worker writes; TimeoutError when it stays silent."""
        # Held open for writing too, so that a worker that was killed is no end of the talk.
        handle = os.open(self.path, os.O_RDWR | os.O_NONBLOCK)
        try:
            ready, _, _ = select.select([handle], [], [], PATIENCE_SECONDS)
            if not ready:
                raise TimeoutError(f"Nothing came through {self.path.name}.")
            return os.read(handle, 100).decode()
        finally:
            os.close(handle)


class Gate:
    """A lock on a file: workers wait behind it until the test lets them all go on, for good."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.handle = path.open("w")
        fcntl.flock(self.handle, fcntl.LOCK_EX)

    def __str__(self) -> str:
        return str(self.path)

    def open(self) -> None:
        """Let every worker go on that waits here or comes later."""
        self.handle.close()


@contextmanager
def worker(command: list[str], var: Path, **variables: str) -> Iterator[subprocess.Popen[bytes]]:
    """Start a worker in a process group of its own; at the end it is killed if it still runs."""
    own = {
        "DATABASE_URL": database_url(),
        "DJANGO_SETTINGS_MODULE": "tests.worker_settings",
        "HANDBACK_VAR": str(var),
        "PYTHONFAULTHANDLER": "1",
    }
    process = subprocess.Popen(  # noqa: S603  # a fixed command
        command, cwd=ROOT, env=os.environ | own | variables, start_new_session=True
    )
    try:
        yield process
    finally:
        kill(process)


def kill(process: subprocess.Popen[bytes]) -> None:
    """Kill a worker and its children, as a power cut would."""
    with suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()


def stop(process: subprocess.Popen[bytes]) -> int:
    """Ask a worker to end after its job; return its exit code.

    One that does not end writes where each of its threads stands, and the code says so.
    """
    process.terminate()
    try:
        return process.wait(timeout=PATIENCE_SECONDS)
    except subprocess.TimeoutExpired:
        process.send_signal(signal.SIGABRT)
        return process.wait()
