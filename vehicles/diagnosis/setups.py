"""What has to be true of a car before a check, and what ends it again.

>>> load()["warm"].title, load()["warm"].ends
('engine at operating temperature', <Ends.COOLED: 'cooled'>)
>>> load()["raised"].minutes
10
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from vehicles.diagnosis.problem import Mistakes, line_of
from vehicles.diagnosis.reading import Section
from vehicles.inspection.catalogue import FOLDER

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

FILE: Final = FOLDER / "diagnosis" / "setups.toml"


class Ends(StrEnum):
    """What ends a setup: the session, moving the car, letting it cool, or starting the engine."""

    SESSION = "session"
    MOVED = "moved"
    COOLED = "cooled"
    STARTED = "started"


@dataclass(frozen=True, kw_only=True)
class Setup:
    """Something that has to be true first; `minutes` of work are paid once for all its checks."""

    code: str
    title: str
    minutes: int
    how: str
    ends: Ends


@lru_cache
def load(path: Path = FILE) -> Mapping[str, Setup]:
    """Return the setups by code, in the order of their file; the file is read once.

    Raises:
        ValueError: the file is damaged; the text names every mistake with its place.
    """
    try:
        tables = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise ValueError(f"{path.name} can’t be read: {error}.") from error
    mistakes = Mistakes()
    whole = Section(tables, "", mistakes)
    found = {code: _setup(code, whole.section(code)) for code in whole.names()}
    if mistakes.found:
        raise ValueError("\n".join(f"{path.name}, {line_of(one)}" for one in mistakes.found))
    return MappingProxyType(found)


def _setup(code: str, section: Section) -> Setup:
    setup = Setup(
        code=code,
        title=section.text("title"),
        minutes=section.whole("minutes"),
        how=section.text("how", longest=400),
        ends=Ends(section.word("ends", Ends) or Ends.SESSION),
    )
    section.close()
    return setup
