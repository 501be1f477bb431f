"""Checksums that travel with files, in the shape that `sha256sum --check` reads.

>>> print(written({"funds.csv": b"ref,code"}), end="")
e6df3b59fa97852fae8dc59ba3be3fbad1ee481224e65edb7d1d864c0d91fc7a  funds.csv
>>> differing({"funds.csv": b"ref,code"}, written({"funds.csv": b"ref,code"}))
[]
"""

from __future__ import annotations

import hashlib
import re
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Mapping

#: The name of the list beside the files.
NAME: Final = "SHA256SUMS"

_LINE: Final = re.compile(r"([0-9a-f]{64})  (\S.*)")


def written(files: Mapping[str, bytes]) -> str:
    """Return the list of the files' SHA-256 sums, by name."""
    return listed({name: hashlib.sha256(content).hexdigest() for name, content in files.items()})


def listed(sums: Mapping[str, str]) -> str:
    """Return the list of sums that were taken already, by name."""
    return "".join(f"{sums[name]}  {name}\n" for name in sorted(sums))


def read(text: str) -> dict[str, str]:
    """Return the sums of a list by file name.

    Raises:
        ValueError: a line is no checksum with a name, or a name stands there twice.
    """
    sums: dict[str, str] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        found = _LINE.fullmatch(line.rstrip("\r"))
        if not found:
            raise ValueError(f"Line {number} of {NAME} is no checksum. The list is damaged.")
        if found[2] in sums:
            raise ValueError(f"“{found[2]}” stands in {NAME} twice.")
        sums[found[2]] = found[1]
    return sums


def differing(files: Mapping[str, bytes], text: str) -> list[str]:
    """Return a sentence for each file that isn't as the list says; files not in it are left out.

    Raises:
        ValueError: as `read`.
    """
    found = []
    for name, expected in sorted(read(text).items()):
        if name not in files:
            found.append(f"“{name}” stands in {NAME} and is missing.")
        elif hashlib.sha256(files[name]).hexdigest() != expected:
            found.append(f"“{name}” was changed since it was written: its checksum differs.")
    return found
