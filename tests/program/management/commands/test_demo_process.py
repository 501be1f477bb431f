"""The demonstration as a person starts it: in a process of its own, interrupted and killed."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
from contextlib import closing, contextmanager
from http.client import HTTPConnection
from pathlib import Path
from shutil import copytree
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

pytestmark = pytest.mark.slow
ROOT = Path(__file__).resolve().parents[4]
NOWHERE = "redis://127.0.0.1:1/0"  # nothing listens on this port
STEPS = ("Setting up the database", "Checking the sheets", "Ranking the repairs")


PATIENCE_SECONDS = 120


def _hear_ctrl_c() -> None:
    """Undo what a run in the background hands down: there SIGINT is ignored."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


@contextmanager
def demo(var: Path, *options: str, **variables: str) -> Iterator[subprocess.Popen[str]]:
    """Start the demonstration in a folder; at the end it is killed if it still runs."""
    own = {name: value for name, value in os.environ.items() if not name.endswith("_URL")}
    command = [sys.executable, "manage.py", "demo", *options]
    process = subprocess.Popen(  # noqa: S603  # a fixed command
        command,
        cwd=ROOT,
        env=own | {"HANDBACK_VAR": str(var)} | variables,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=_hear_ctrl_c,  # noqa: PLW1509  # it sets one signal and starts no thread
    )
    try:
        yield process
    finally:
        process.kill()
        process.communicate()


def printed(var: Path, *options: str, **variables: str) -> tuple[str, str]:
    """Return what a start without the site says, and what it says of trouble."""
    with demo(var, "--no-site", *options, **variables) as process:
        out, trouble = process.communicate(timeout=PATIENCE_SECONDS)
        assert process.returncode == 0, trouble
    return out, trouble


def wait_for(words: str, process: subprocess.Popen[str]) -> str:
    """Return the lines up to the one that holds these words."""
    assert process.stdout is not None
    heard = ""
    for line in process.stdout:
        heard += line
        if words in line:
            return heard
    raise AssertionError(f"It ended without “{words}”: {heard}")


def answer_of(port: int, link: str) -> tuple[int, str]:
    """Return the status and the text of a page of the site."""
    with closing(HTTPConnection("127.0.0.1", port)) as site:
        site.request("GET", urlsplit(link).path, headers={"Host": f"localhost:{port}"})
        answer = site.getresponse()
        return answer.status, answer.read().decode()


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    var = tmp_path_factory.mktemp("demo")
    printed(var)
    return var


@pytest.fixture
def var(made: Path, tmp_path: Path) -> Path:
    return Path(copytree(made, tmp_path / "demo"))


def test_reset_starts_anew_and_a_dead_redis_stops_nothing(var: Path) -> None:
    out, trouble = printed(var, "--reset", REDIS_URL=NOWHERE)
    assert "Sheets: 2,244 rows new, 0 known." in out
    assert "Eight cars go home" in out
    assert "No worker could be woken" in trouble


def test_killed_at_any_step_the_next_start_goes_on(tmp_path: Path) -> None:
    for step in STEPS:
        with demo(tmp_path, "--no-site") as process:
            wait_for(step, process)
            process.kill()
    assert "Eight cars go home" in printed(tmp_path)[0]


def test_the_site_answers_and_closes_at_ctrl_c(var: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as probe:
        port = probe.getsockname()[1]
    with demo(var, "--port", str(port)) as process:
        heard = wait_for("It is open", process)
        [link] = re.findall(r"http://localhost:\d+/\S+/", heard)
        status, page = answer_of(port, link)
        assert (status, "Osier Street Garage" in page) == (200, True)
        process.send_signal(signal.SIGINT)
        out, trouble = process.communicate(timeout=PATIENCE_SECONDS)
    assert (process.returncode, out, trouble) == (0, "The site is closed.\n", "")


def test_ctrl_c_before_it_is_open_ends_without_a_traceback(var: Path) -> None:
    with demo(var, "--no-site") as process:
        wait_for("Checking the sheets", process)
        process.send_signal(signal.SIGINT)
        out, trouble = process.communicate(timeout=PATIENCE_SECONDS)
    assert out.endswith("Stopped. The same command goes on from here.\n")
    assert (process.returncode, trouble) == (130, "")


def test_a_database_that_cannot_be_opened_is_said(tmp_path: Path) -> None:
    nowhere = f"sqlite:///{tmp_path}/nowhere/demo.sqlite3"
    with demo(tmp_path, "--no-site", DATABASE_URL=nowhere) as process:
        _, trouble = process.communicate(timeout=PATIENCE_SECONDS)
    assert (process.returncode, trouble) == (
        1,
        "CommandError: The database can't be opened: unable to open database file\n",
    )
