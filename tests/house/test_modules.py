"""Each module has one subject, a bounded size, and tests of its own."""

from __future__ import annotations

import ast
import tomllib
from typing import TYPE_CHECKING

from tests.house.tree import APPS, ROOT, files, modules, name, text_of, tree_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

MAX_MODULE = 300
MAX_FUNCTION = 40
MAX_VIEW = 25

# Modules that hold no decision of their own; running any page or job runs them.
TESTED_BY_USE = {"__init__", "admin", "apps", "celery", "settings", "urls", "wsgi"}

Function = ast.FunctionDef | ast.AsyncFunctionDef


def functions(path: Path) -> Iterator[Function]:
    return (node for node in ast.walk(tree_of(path)) if isinstance(node, Function))


def length(function: Function) -> int:
    """Return the lines from `def` to the end, without the docstring."""
    first = function.body[0]
    has_docstring = ast.get_docstring(function, clean=False) is not None
    docstring = (first.end_lineno or 0) - first.lineno + 1 if has_docstring else 0
    return (function.end_lineno or 0) - function.lineno + 1 - docstring


def test_no_module_is_longer_than_300_lines() -> None:
    too_long = {
        name(path): lines
        for path in [*modules(), *files("tests", suffix=".py")]
        if (lines := len(text_of(path).splitlines())) > MAX_MODULE
    }
    assert too_long == {}


def test_no_function_is_longer_than_40_lines_and_no_view_than_25() -> None:
    too_long = {
        f"{name(path)}:{function.name}": length(function)
        for path in modules()
        for function in functions(path)
        if length(function) > (MAX_VIEW if path.stem == "views" else MAX_FUNCTION)
    }
    assert too_long == {}


def test_each_module_with_code_has_a_test_module() -> None:
    missing = [
        name(path)
        for path in modules()
        if path.stem not in TESTED_BY_USE and any(functions(path)) and not has_test(path)
    ]
    assert missing == []


def has_test(path: Path) -> bool:
    """Return whether `app/room/x.py` has `tests/app/room/test_x.py`, or parts `test_x_….py`."""
    folder = ROOT / "tests" / path.relative_to(ROOT).parent
    return (folder / f"test_{path.stem}.py").exists() or any(folder.glob(f"test_{path.stem}_*.py"))


def test_app_packages_and_rooms_are_empty_packages() -> None:
    filled = [
        name(path)
        for path in files(*APPS, suffix="__init__.py")
        if "migrations" not in path.parts and tree_of(path).body
    ]
    assert filled == []


def test_the_list_of_pure_modules_is_the_same_in_both_import_contracts() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    contracts = settings["tool"]["importlinter"]["contracts"]
    by_name = {contract["name"]: contract for contract in contracts}
    layers = by_name["In a room, a layer imports only from the layers below it"]["layers"]
    core = by_name["The pure core knows no framework"]["source_modules"]

    lowest = {part.strip(" ()") for part in layers[-1].split(":")}
    assert {part.removeprefix("*.*.") for part in core if part.startswith("*.*.")} == lowest
