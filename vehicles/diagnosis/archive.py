"""Fault models as files: one text, or a zip of several with their digests, to send and to take.

>>> file_name("overheats", "2026.1 b")
'overheats-2026.1-b.toml'
>>> [one.name for one in unpacked("a.zip", packed({"hot-1.toml": "x = 1"}))]
['hot-1.toml']
>>> unpacked("letter.pdf", b"")
Traceback (most recent call last):
ValueError: “letter.pdf” is no fault model. Send one .toml file, or a .zip of them.
"""

from __future__ import annotations

import io
import re
import stat
import zipfile
import zlib
from dataclasses import dataclass
from hashlib import sha256
from pathlib import PurePosixPath
from typing import TYPE_CHECKING, Final

from vehicles.diagnosis.modelfile import LARGEST_BYTES
from vehicles.diagnosis.problem import shown

if TYPE_CHECKING:
    from collections.abc import Mapping

MOST_FILES: Final = 100
MOST_UPLOAD_BYTES: Final = 4_000_000
MOST_BYTES: Final = 8_000_000  # of all texts of a zip together
MOST_RATIO: Final = 100  # a text shrinks to a fifth; what shrinks to a thousandth is none
SMALL_BYTES: Final = 20_000  # below this a high ratio means nothing
MANIFEST: Final = "SHA256SUMS"
_METHODS: Final = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_ENTRY: Final = re.compile(r"([0-9a-f]{64}) [ *](.+)")
_CUT_OFF: Final = "This zip can’t be read: it is cut off or damaged. Ask for it once more."


@dataclass(frozen=True, kw_only=True)
class File:
    """One file that came in: its text, or why it has none.

    `mended` says that a byte order mark or the line ends of Windows were taken out.
    """

    name: str
    text: str = ""
    mended: bool = False
    mistake: str = ""


def file_name(code: str, version: str) -> str:
    """Return the name under which a model is sent: no character that any system minds."""
    plain = re.sub(r"[^A-Za-z0-9.]+", "-", version).strip("-.")
    return f"{code}-{plain}.toml" if plain else f"{code}.toml"


def packed(texts: Mapping[str, str]) -> bytes:
    """Return a zip of texts by their names, with a list of their digests; the same each time.

    The list has the form that `sha256sum --check` reads.
    """
    sums = "".join(f"{_digest(text.encode())}  {name}\n" for name, text in texts.items())
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as bundle:
        for name, text in {**texts, MANIFEST: sums}.items():
            info = zipfile.ZipInfo(name)  # of 1980, so that the same texts make the same zip
            info.external_attr = 0o644 << 16
            bundle.writestr(info, text.encode(), zipfile.ZIP_DEFLATED)
    return whole.getvalue()


def unpacked(name: str, content: bytes) -> list[File]:
    """Return the files of what was sent, each with its text or with what is wrong with it.

    Raises:
        ValueError: it is neither a model nor a zip of them, or a zip that can't be trusted.
    """
    suffix = PurePosixPath(name).suffix.lower()
    if suffix not in {".toml", ".zip"}:
        raise ValueError(
            f"“{shown(name)}” is no fault model. Send one .toml file, or a .zip of them."
        )
    if len(content) > MOST_UPLOAD_BYTES:
        raise ValueError(f"“{shown(name)}” is larger than {MOST_UPLOAD_BYTES // 1_000_000} MB.")
    if suffix == ".toml":
        return [read_file(name, content)]
    members = _members(content)
    if MANIFEST in members:
        _compare(members.pop(MANIFEST), members)
    if not members:
        raise ValueError("There is no fault model in this zip.")
    return [read_file(one, members[one]) for one in sorted(members)]


def read_file(name: str, content: bytes) -> File:
    """Return one file as text, or with the sentence that says why it is none."""
    if len(content) > LARGEST_BYTES:
        said = f"The file has more than {LARGEST_BYTES:,} bytes; no fault model is so large."
        return File(name=name, mistake=said)
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return File(name=name, mistake="This is UTF-16. Save it as UTF-8.")
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        return File(name=name, mistake=f"This is not UTF-8: see line {line}. Save it as UTF-8.")
    plain = text.removeprefix("\N{BYTE ORDER MARK}").replace("\r\n", "\n")
    if not plain.strip():
        return File(name=name, mistake="The file is empty.")
    return File(name=name, text=plain, mended=plain != text)


def _members(content: bytes) -> dict[str, bytes]:
    """Return the files of a zip by name; what a Mac adds beside them is passed over."""
    found: dict[str, bytes] = {}
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as bundle:
            infos = [one for one in bundle.infolist() if not _beside(one.filename)]
            _check(infos)
            for info in infos:
                with bundle.open(info) as member:
                    # What the directory says may be a lie, so that reading stops at the bound.
                    found[info.filename] = member.read(LARGEST_BYTES + 1)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError) as error:
        raise ValueError(_CUT_OFF) from error
    if sum(map(len, found.values())) > MOST_BYTES:
        raise ValueError(f"The zip unpacks to more than {MOST_BYTES // 1_000_000} MB.")
    return found


def _check(infos: list[zipfile.ZipInfo]) -> None:
    """Refuse a zip by its directory, before anything is unpacked."""
    if len(infos) > MOST_FILES:
        raise ValueError(f"The zip holds {len(infos):,} files; {MOST_FILES} are the most.")
    if sum(info.file_size for info in infos) > MOST_BYTES:
        raise ValueError(f"The zip unpacks to more than {MOST_BYTES // 1_000_000} MB.")
    seen: set[str] = set()
    for info in infos:
        _check_one(info)
        if info.filename.casefold() in seen:
            raise ValueError(f"“{shown(info.filename)}” is in the zip twice.")
        seen.add(info.filename.casefold())


def _check_one(info: zipfile.ZipInfo) -> None:
    """Refuse a path, a link, a secret, a bomb, and what is no model."""
    name, said = info.orig_filename, shown(info.orig_filename)
    if re.search(r"[/\\:\0]", name) or name.startswith(".."):
        raise ValueError(f"“{said}” lies in a folder. The files of a zip stand side by side.")
    if stat.S_ISLNK(info.external_attr >> 16):
        raise ValueError(f"“{said}” is a link. Put the file itself into the zip.")
    if name != MANIFEST and PurePosixPath(name).suffix.lower() != ".toml":
        raise ValueError(f"“{said}” is no fault model. A zip holds .toml files only.")
    if info.flag_bits & 1:
        raise ValueError(f"“{said}” is locked by a password. Make the zip without one.")
    if info.compress_type not in _METHODS:
        raise ValueError(f"“{said}” is packed in a way that is not read here. Make a plain zip.")
    if info.file_size > SMALL_BYTES and info.file_size > MOST_RATIO * max(info.compress_size, 1):
        raise ValueError(f"“{said}” unpacks to far more than a model would. Nothing was unpacked.")


def _beside(name: str) -> bool:
    """Return whether this is what a file manager leaves beside the files."""
    return name.startswith(("__MACOSX/", "._")) or name == ".DS_Store"


def _compare(manifest: bytes, members: Mapping[str, bytes]) -> None:
    """Refuse files that are not those the list of digests was made of."""
    lines = manifest.decode("utf-8", "replace").splitlines()
    found = [_ENTRY.fullmatch(line) for line in lines if line.strip()]
    listed = {one[2]: one[1] for one in found if one}
    if None in found:
        raise ValueError(f"{MANIFEST} can’t be read. Ask for the zip once more.")
    for name in listed:
        if name not in members:
            raise ValueError(f"“{shown(name)}” is missing: the zip came only in part.")
    for name, content in members.items():
        if listed.get(name) != _digest(content):
            raise ValueError(f"“{shown(name)}” is not the file that was sent: its digest differs.")


def _digest(content: bytes) -> str:
    return sha256(content).hexdigest()
