"""The files of the project, for tests that read the code instead of running it."""

from __future__ import annotations

import ast
import os
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
APPS = ("shared", "vehicles", "sponsors", "program")
_NOT_OURS = {"__pycache__", "node_modules", "var", "test-results"}


@cache
def text_of(path: Path) -> str:
    return path.read_text(encoding="utf-8")


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(text_of(path), filename=str(path))


@cache
def files(*folders: str, suffix: str) -> list[Path]:
    """Return the files of the project below `folders` that end in `suffix`, sorted."""
    found: list[Path] = []
    for folder in folders or (".",):
        for place, inner, names in os.walk(ROOT / folder):
            inner[:] = [one for one in inner if one == ".ci" or not _is_foreign(one)]
            found += [Path(place) / one for one in names if one.endswith(suffix)]
    return sorted(found)


def _is_foreign(folder: str) -> bool:
    """Return whether git ignores a folder of this name."""
    return folder.startswith(".") or folder in _NOT_OURS


def modules() -> list[Path]:
    """Return the modules of the four apps, without their migrations."""
    return [path for path in files(*APPS, suffix=".py") if "migrations" not in path.parts]


def name(path: Path) -> str:
    """Return a path as a person would type it from the root."""
    return path.relative_to(ROOT).as_posix()
