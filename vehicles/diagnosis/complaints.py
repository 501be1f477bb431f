"""The fault models of a program: those shipped, and its own versions instead of them.

>>> load()["no-crank"].title
'Engine won’t crank'
>>> text_of("no-crank").splitlines()[0]
'format = "fault model 1"'
"""

from __future__ import annotations

from functools import cache, lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from vehicles.diagnosis import setups
from vehicles.diagnosis.modelfile import read
from vehicles.inspection.catalogue import FOLDER

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from vehicles.diagnosis.fault_model import FaultModel

_FOLDER: Final = FOLDER / "diagnosis"
_NONE: Final[Mapping[str, str]] = MappingProxyType({})


def load(overrides: Mapping[str, str] = _NONE) -> Mapping[str, FaultModel]:
    """Return the models by complaint code, in the order of their titles.

    `overrides` has a program's own files by complaint code; one of a complaint that is not
    shipped comes in addition. Each text is parsed once.

    Raises:
        ValueError: an own file can't be read; the text names the complaint and all mistakes.
    """
    models = {code: _own(code, text) for code, text in overrides.items()}
    for path in paths():
        if path.stem not in models:
            models[path.stem] = _shipped(path)
    ordered = sorted(models.values(), key=lambda one: (one.title.casefold(), one.code))
    return MappingProxyType({one.code: one for one in ordered})


def text_of(code: str) -> str:
    """Return the file of a shipped model as it stands.

    Raises:
        ValueError: no model of that code is shipped.
    """
    for path in paths():
        if path.stem == code:
            return path.read_text(encoding="utf-8")
    raise ValueError(f"No fault model “{code}” is shipped.")


@cache
def paths(folder: Path = _FOLDER) -> tuple[Path, ...]:
    """Return the files of the shipped models in the order of their codes."""
    return tuple(sorted(path for path in folder.glob("*.toml") if path.name != setups.FILE.name))


@cache
def _shipped(path: Path) -> FaultModel:
    try:
        return read(path.read_text(encoding="utf-8"), name=path.stem, shipped=True)
    except ValueError as error:
        raise ValueError(f"{path.name} can’t be read.\n{error}") from error


@lru_cache(maxsize=256)
def _own(code: str, text: str) -> FaultModel:
    try:
        return read(text, name=code)
    except ValueError as error:
        raise ValueError(f"The program’s own model “{code}” can’t be read.\n{error}") from error
