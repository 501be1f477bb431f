"""The files of the project, for tests that read the code instead of running it."""

from __future__ import annotations

import ast
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


def files(*folders: str, suffix: str) -> list[Path]:
    """Return the files of the project below `folders` that end in `suffix`, sorted."""
    return sorted(
        path
        for folder in folders or (".",)
        for path in (ROOT / folder).rglob(f"*{suffix}")
        if path.is_file() and not _is_foreign(path.relative_to(ROOT))
    )


def _is_foreign(path: Path) -> bool:
    """Return whether a path lies in a folder that git ignores."""
    return any(
        part in _NOT_OURS or (part.startswith(".") and part != ".ci") for part in path.parts[:-1]
    )


def modules() -> list[Path]:
    """Return the modules of the four apps, without their migrations."""
    return [path for path in files(*APPS, suffix=".py") if "migrations" not in path.parts]


def name(path: Path) -> str:
    """Return a path as a person would type it from the root."""
    return path.relative_to(ROOT).as_posix()
