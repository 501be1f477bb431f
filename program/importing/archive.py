"""Sheets from a folder, from a zip or from single files, refused before they can do harm.

>>> sorted(from_files([("Bays.csv", b"ref,name"), ("hours.csv", b"")]))
['bays', 'hours']
>>> from_files([("letter.pdf", b"")])
Traceback (most recent call last):
ValueError: “letter.pdf” is no CSV sheet. An import holds CSV files only.
"""

from __future__ import annotations

import hashlib
import io
import stat
import zipfile
import zlib
from pathlib import PurePosixPath
from typing import IO, TYPE_CHECKING, Final

from program.importing.sheets import SHEETS
from program.importing.values import nearest
from program.reports import checksums
from program.reports.wording import SHEETS_OF_BOOKS

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from pathlib import Path

MOST_FILES: Final = 60
MOST_FILE_BYTES: Final = 15_000_000
MOST_BYTES: Final = 40_000_000
MOST_ZIP_BYTES: Final = 25_000_000
MOST_RATIO: Final = 200  # text shrinks to a tenth; what shrinks to a thousandth is no sheet
SMALL_BYTES: Final = 100_000  # below this, a high ratio means nothing
METHODS: Final = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
CUT_OFF: Final = (
    "This zip can't be read: it is cut off or damaged. Make it again, or send the CSV files."
)

BOOKS: Final = f"This is the file of the books. Send {SHEETS_OF_BOOKS}, which lies in it."


def from_path(path: Path) -> dict[str, bytes]:
    """Return the sheets of a folder, or of a zip, by name.

    Raises:
        ValueError: it can't be opened, or it holds what is no sheet.
    """
    if path.suffix.lower() != ".zip":
        return from_folder(path)
    try:
        with path.open("rb") as file:
            return from_zip(file)
    except OSError as error:
        raise ValueError(f"“{path.name}” can’t be opened.") from error


def from_folder(folder: Path) -> dict[str, bytes]:
    """Return the sheets of a folder by name. Hidden files and a README are passed over.

    Raises:
        ValueError: no such folder, or it holds a link, a folder, or what is no sheet.
    """
    if folder.is_symlink() or not folder.is_dir():
        raise ValueError(f"“{folder.name}” is not a folder.")
    found: dict[str, bytes] = {}
    for path in sorted(folder.iterdir()):
        if path.name.startswith(".") or path.stem.upper() == "README":
            continue
        if path.is_symlink():
            raise ValueError(f"“{path.name}” is a link. Put the sheet itself into the folder.")
        if not path.is_file():
            raise ValueError(f"“{path.name}” is a folder. Put the sheets side by side.")
        if path.stat().st_size > MOST_FILE_BYTES:
            raise ValueError(_too_large(path.name))
        _add(found, path.name, path.read_bytes())
    return _some(found)


def from_files(files: Iterable[tuple[str, bytes]]) -> dict[str, bytes]:
    """Return the sheets of single files, each with its name.

    Raises:
        ValueError: a file is no sheet, stands there twice or is too large.
    """
    found: dict[str, bytes] = {}
    for name, content in files:
        _add(found, name, content)
    return _some(found)


def from_zip(file: IO[bytes]) -> dict[str, bytes]:
    """Return the sheets of a zip by name; at most one folder around them.

    Raises:
        ValueError: it is cut off, holds too much, or names what no zip of sheets holds.
    """
    found: dict[str, bytes] = {}
    content: dict[str, bytes] = {}
    try:
        with zipfile.ZipFile(file) as bundle:
            for info in entries(bundle):
                with bundle.open(info) as member:
                    # What the directory says may be a lie, so that reading stops at the bound.
                    content[PurePosixPath(info.filename).name] = member.read(MOST_FILE_BYTES + 1)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError) as error:
        raise ValueError(CUT_OFF) from error
    _compare(content)
    for name, data in content.items():
        if name != checksums.NAME:
            _add(found, name, data)
    return _some(found)


def look_over(file: IO[bytes]) -> None:
    """Refuse a zip by its directory alone, without unpacking anything.

    Raises:
        ValueError: as `from_zip`.
    """
    try:
        with zipfile.ZipFile(file) as bundle:
            entries(bundle)
    except (zipfile.BadZipFile, NotImplementedError) as error:
        raise ValueError(CUT_OFF) from error


def entries(bundle: zipfile.ZipFile) -> list[zipfile.ZipInfo]:
    """Return the entries that are sheets; what a Mac adds beside them is passed over.

    Raises:
        ValueError: one of them is not what a zip of sheets holds; the sentence names it.
    """
    infos = bundle.infolist()
    if any(info.filename == SHEETS_OF_BOOKS for info in infos):
        raise ValueError(BOOKS)
    if len(infos) > MOST_FILES:
        raise ValueError(f"The zip holds {len(infos):,} files; {MOST_FILES} are the most.")
    for info in infos:
        _check_entry(info)
    if sum(info.file_size for info in infos) > MOST_BYTES:
        raise ValueError(f"The zip unpacks to more than {MOST_BYTES // 1_000_000} MB.")
    sheets = [info for info in infos if not (info.is_dir() or _beside(info.filename))]
    folders = {PurePosixPath(info.filename).parent for info in sheets}
    if len(folders) > 1:
        raise ValueError("The sheets of a zip stand side by side, in one folder at most.")
    if any(len(folder.parts) > 1 for folder in folders):
        raise ValueError("The sheets of a zip lie in one folder at most, not in folders inside it.")
    return sheets


def digest(sheets: Mapping[str, bytes]) -> str:
    """Return the SHA-256 of all sheets, the same for a folder and for a zip of it."""
    whole = hashlib.sha256()
    for name in sorted(sheets):
        whole.update(f"{name}:{len(sheets[name])}:".encode())
        whole.update(sheets[name])
    return whole.hexdigest()


def packed(sheets: Mapping[str, bytes]) -> bytes:
    """Return a zip of sheets, which keeps an upload of single files as one file."""
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as bundle:
        for name, content in sheets.items():
            bundle.writestr(zipfile.ZipInfo(f"{name}.csv"), content, zipfile.ZIP_DEFLATED)
    return whole.getvalue()


def _check_entry(info: zipfile.ZipInfo) -> None:
    """Refuse a path out of the zip, a link, a secret, a bomb."""
    name = info.orig_filename
    parts = PurePosixPath(name).parts
    if name.startswith("/") or ".." in parts or "\\" in name or ":" in name or "\0" in name:
        raise ValueError(f"“{name}” would lie outside its folder. Nothing was unpacked.")
    if stat.S_ISLNK(info.external_attr >> 16):
        raise ValueError(f"“{name}” is a link. Put the sheet itself into the zip.")
    if info.flag_bits & 1:
        raise ValueError(f"“{name}” is locked by a password. Make the zip without one.")
    if info.compress_type not in METHODS:
        raise ValueError(f"“{name}” is packed in a way that is not read here. Make a plain zip.")
    if info.file_size > MOST_FILE_BYTES:
        raise ValueError(_too_large(name))
    swollen = info.file_size > MOST_RATIO * max(info.compress_size, 1)
    if info.file_size > SMALL_BYTES and swollen:
        raise ValueError(f"“{name}” unpacks to far more than a sheet would. Nothing was unpacked.")


def _beside(name: str) -> bool:
    """Return whether this is what a file manager leaves beside the sheets."""
    path = PurePosixPath(name)
    return path.parts[0] == "__MACOSX" or path.name.startswith(".")


def _compare(content: Mapping[str, bytes]) -> None:
    """Refuse sheets that are not as the checksums beside them say; without any, nothing is said."""
    if checksums.NAME not in content:
        return
    differing = checksums.differing(content, content[checksums.NAME].decode(errors="replace"))
    if differing:
        raise ValueError(f"{differing[0]} Nothing was written.")


def _add(found: dict[str, bytes], filename: str, content: bytes) -> None:
    path = PurePosixPath(filename)
    if path.suffix.lower() != ".csv":
        raise ValueError(f"“{filename}” is no CSV sheet. An import holds CSV files only.")
    name = path.stem.lower().replace(" ", "_").replace("-", "_")
    if name not in SHEETS:
        raise ValueError(
            f"“{filename}” is not one of the sheets.{nearest(name, SHEETS)} "
            f"Sheets: {', '.join(SHEETS)}."
        )
    if name in found:
        raise ValueError(f"The sheet “{name}” is there twice.")
    if len(content) > MOST_FILE_BYTES:
        raise ValueError(_too_large(filename))
    found[name] = content
    if sum(map(len, found.values())) > MOST_BYTES:
        raise ValueError(f"The sheets hold more than {MOST_BYTES // 1_000_000} MB together.")


def _too_large(name: str) -> str:
    return f"“{name}” is larger than {MOST_FILE_BYTES // 1_000_000} MB. No sheet is so large."


def _some(found: dict[str, bytes]) -> dict[str, bytes]:
    if not found:
        raise ValueError(f"There is no sheet in it. Sheets: {', '.join(SHEETS)}.")
    return {name: found[name] for name in SHEETS if name in found}
