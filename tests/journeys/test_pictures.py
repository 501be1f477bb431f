"""The pictures of the README are taken of the running site, by a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from io import BytesIO
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from program.management.commands.pictures import LARGEST
from shared.models import Program
from tests.workers import ROOT, database_url

if TYPE_CHECKING:
    from pathlib import Path

    from pytest_django.live_server_helper import LiveServer

pytestmark = [pytest.mark.e2e, pytest.mark.slow]


def take(site: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """Take the pictures of a site from the test's rows."""
    Program.objects.update(is_demo=True)
    own = {"DATABASE_URL": database_url(), "HANDBACK_VAR": str(folder)}
    return subprocess.run(  # noqa: S603  # a fixed command
        [sys.executable, "manage.py", "pictures", "--site", site, "--folder", folder / "pictures"],
        cwd=ROOT,
        env=os.environ | own,
        capture_output=True,
        text=True,
        check=False,
    )


def test_three_pictures_are_taken_each_small(
    program: Program, live_server: LiveServer, tmp_path: Path
) -> None:
    done = take(live_server.url, tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    taken = list((tmp_path / "pictures").iterdir())
    sizes = {path.stem: Image.open(BytesIO(path.read_bytes())).size for path in taken}
    assert sizes == {"week": (1280, 900), "sheet": (390, 844), "household": (390, 844)}
    assert max(path.stat().st_size for path in taken) <= LARGEST


def test_a_site_that_is_not_open_is_said(program: Program, tmp_path: Path) -> None:
    done = take("http://127.0.0.1:1", tmp_path)
    assert done.returncode == 1
    assert done.stderr.startswith("CommandError: The demonstration is not to be seen: ")
