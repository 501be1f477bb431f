"""Fault models as files that are sent and taken; a hostile one is refused with a sentence."""

from __future__ import annotations

import io
import shutil
import stat
import subprocess
import zipfile
from hashlib import sha256
from typing import TYPE_CHECKING

import pytest

from vehicles.diagnosis.archive import (
    MANIFEST,
    MOST_FILES,
    MOST_UPLOAD_BYTES,
    file_name,
    packed,
    read_file,
    unpacked,
)
from vehicles.diagnosis.modelfile import LARGEST_BYTES

if TYPE_CHECKING:
    from pathlib import Path

    from vehicles.diagnosis.archive import File

TEXTS = {"hot-1.toml": "a = 1\n", "stalls-2026.1.toml": "b = “2”\n"}


def zipped(*members: tuple[str | zipfile.ZipInfo, bytes]) -> bytes:
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as bundle:
        for name, content in members:
            bundle.writestr(name, content)
    return whole.getvalue()


def refused(content: bytes, name: str = "all.zip") -> str:
    with pytest.raises(ValueError) as refusal:  # noqa: PT011 - the sentence is compared
        unpacked(name, content)
    return str(refusal.value)


def test_what_is_packed_comes_out_the_same() -> None:
    found = unpacked("all.ZIP", packed(TEXTS))
    assert {one.name: one.text for one in found} == TEXTS
    assert packed(TEXTS) == packed(dict(TEXTS))


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="no sha256sum on this machine")
def test_the_list_of_digests_is_read_by_the_usual_tool(tmp_path: Path) -> None:
    """`sha256sum --check` of GNU coreutils reads it."""
    with zipfile.ZipFile(io.BytesIO(packed(TEXTS))) as bundle:
        bundle.extractall(tmp_path)
    command = ["sha256sum", "--check", "--strict", MANIFEST]
    done = subprocess.run(  # noqa: S603 - a fixed command
        command, cwd=tmp_path, capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines() == [f"{name}: OK" for name in TEXTS]


def test_one_text_comes_alone() -> None:
    assert unpacked("hot.toml", b"a = 1\n") == [read_file("hot.toml", b"a = 1\n")]


@pytest.mark.parametrize(
    ("version", "name"),
    [
        ("2026.1", "hot-2026.1.toml"),
        ("../../etc", "hot-etc.toml"),
        ('1" ; x', "hot-1-x.toml"),
        ("…", "hot.toml"),
    ],
)
def test_a_name_holds_nothing_that_a_system_minds(version: str, name: str) -> None:
    assert file_name("hot", version) == name


def test_marks_and_line_ends_of_windows_are_taken_out() -> None:
    found = read_file("hot.toml", "\ufeffa = 1\r\n".encode())
    assert (found.text, found.mended, found.mistake) == ("a = 1\n", True, "")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("a = 1".encode("utf-16"), "This is UTF-16. Save it as UTF-8."),
        (b"a = 1\nb = \xe9", "This is not UTF-8: see line 2. Save it as UTF-8."),
        (b" \r\n", "The file is empty."),
        (
            b"#" * (LARGEST_BYTES + 1),
            "The file has more than 200,000 bytes; no fault model is so large.",
        ),
    ],
)
def test_a_file_that_is_no_text_says_why(content: bytes, said: str) -> None:
    found: File = read_file("hot.toml", content)
    assert (found.text, found.mistake) == ("", said)


def test_what_is_neither_a_text_nor_a_zip_is_refused() -> None:
    assert refused(b"", "a.exe") == (
        "“a.exe” is no fault model. Send one .toml file, or a .zip of them."
    )
    assert refused(b"x" * (MOST_UPLOAD_BYTES + 1), "a.toml") == "“a.toml” is larger than 4 MB."


def test_half_a_zip_is_refused() -> None:
    whole = packed({name: text * 500 for name, text in TEXTS.items()})
    said = "This zip can’t be read: it is cut off or damaged. Ask for it once more."
    assert {refused(whole[:size]) for size in (0, 10, len(whole) // 2, len(whole) - 1)} == {said}


def test_a_damaged_member_is_refused() -> None:
    whole = bytearray(zipped(("hot.toml", bytes(range(32, 127)) * 20)))
    whole[60] ^= 0xFF
    assert refused(bytes(whole)).startswith("This zip can’t be read")


@pytest.mark.parametrize(
    "name", ["../hot.toml", "/hot.toml", "a/hot.toml", "..\\hot.toml", "c:hot.toml"]
)
def test_a_path_is_refused(name: str) -> None:
    assert refused(zipped((name, b"a = 1"))) == (
        f"“{name}” lies in a folder. The files of a zip stand side by side."
    )


def test_a_link_is_refused() -> None:
    link = zipfile.ZipInfo("hot.toml")
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    said = "“hot.toml” is a link. Put the file itself into the zip."
    assert refused(zipped((link, b"/etc/passwd"))) == said


def test_what_swells_is_refused_before_it_is_unpacked() -> None:
    said = "“hot.toml” unpacks to far more than a model would. Nothing was unpacked."
    assert refused(zipped(("hot.toml", b"0" * 1_000_000))) == said


def test_a_size_that_lies_is_bounded_while_reading() -> None:
    content = bytes(range(32, 127)) * 4_000
    whole = zipped(("hot.toml", content))
    size = len(content).to_bytes(4, "little")
    with_lie = whole.replace(size, (100).to_bytes(4, "little"))
    assert with_lie != whole
    found = refused(with_lie)
    assert found.startswith("This zip can’t be read")


def test_too_many_files_are_refused() -> None:
    many = [(f"a{n}.toml", b"a = 1") for n in range(MOST_FILES + 1)]
    assert refused(zipped(*many)) == "The zip holds 101 files; 100 are the most."


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_name_that_stands_there_twice_is_refused() -> None:
    whole = zipped(("hot.toml", b"a = 1"), ("HOT.toml", b"a = 2"))
    assert refused(whole) == "“HOT.toml” is in the zip twice."


def test_other_files_are_refused_and_what_a_mac_adds_is_passed_over() -> None:
    assert refused(zipped(("notes.txt", b"a"))) == (
        "“notes.txt” is no fault model. A zip holds .toml files only."
    )
    whole = zipped(("__MACOSX/._hot.toml", b"x"), (".DS_Store", b"x"), ("hot.toml", b"a = 1"))
    assert [one.name for one in unpacked("a.zip", whole)] == ["hot.toml"]
    assert refused(zipped()) == "There is no fault model in this zip."


def listed(*names: str) -> tuple[str, bytes]:
    lines = [f"{sha256(b'a = 1').hexdigest()}  {name}\n" for name in names]
    return MANIFEST, "".join(lines).encode()


def test_files_that_are_not_those_listed_are_refused() -> None:
    one = ("hot.toml", b"a = 1")
    assert [file.name for file in unpacked("a.zip", zipped(one, listed("hot.toml")))] == [
        "hot.toml"
    ]
    assert refused(zipped(one, listed("hot.toml", "cold.toml"))) == (
        "“cold.toml” is missing: the zip came only in part."
    )
    differs = "“hot.toml” is not the file that was sent: its digest differs."
    assert refused(zipped(("hot.toml", b"a = 2"), listed("hot.toml"))) == differs
    assert refused(zipped(one, listed())) == differs
    assert refused(zipped(one, (MANIFEST, b"?"))) == (
        "SHA256SUMS can’t be read. Ask for the zip once more."
    )
