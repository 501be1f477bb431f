"""Checksums beside files."""

from __future__ import annotations

import shutil
import subprocess
from typing import TYPE_CHECKING

import pytest

from program.reports.checksums import NAME, differing, listed, read, written

if TYPE_CHECKING:
    from pathlib import Path

#: Source: FIPS 180-4, the example of SHA-256 for the message “abc” (from memory).
ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_the_sum_is_that_of_the_standards_example() -> None:
    assert written({"abc.txt": b"abc"}) == f"{ABC}  abc.txt\n"


def test_the_list_is_by_name() -> None:
    assert listed({"b": ABC, "a": ABC}) == f"{ABC}  a\n{ABC}  b\n"


def test_a_changed_and_a_missing_file_are_named() -> None:
    text = written({"a.csv": b"1", "b.csv": b"2", "c.csv": b"3"})
    assert differing({"a.csv": b"1", "b.csv": b"changed"}, text) == [
        "“b.csv” was changed since it was written: its checksum differs.",
        "“c.csv” stands in SHA256SUMS and is missing.",
    ]


@pytest.mark.parametrize("text", ["", "\n", "abc  a.csv\n", f"{ABC} a.csv\n", f"{ABC}  \n"])
def test_a_damaged_list_is_refused_and_an_empty_one_says_nothing(text: str) -> None:
    if not text:
        assert read(text) == {}
        return
    with pytest.raises(ValueError, match=f"Line 1 of {NAME} is no checksum. The list is damaged."):
        read(text)


def test_a_name_that_is_there_twice_is_refused() -> None:
    with pytest.raises(ValueError, match=r"“a\.csv” stands in SHA256SUMS twice\."):
        read(f"{ABC}  a.csv\n{ABC}  a.csv\n")


def test_the_usual_tool_reads_the_list(tmp_path: Path) -> None:
    tool = shutil.which("sha256sum")
    if not tool:
        pytest.skip("sha256sum is not installed")
    (tmp_path / "a.csv").write_bytes(b"ref,code")
    (tmp_path / NAME).write_text(written({"a.csv": b"ref,code"}))
    checked = subprocess.run(  # noqa: S603  # our own files, the system's own tool
        [tool, "--check", NAME], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert (checked.returncode, checked.stdout) == (0, "a.csv: OK\n")
