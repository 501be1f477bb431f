"""Every sentence that may be read in Spanish is in the catalog, and the catalog is compiled."""

from __future__ import annotations

import ast
import re
from functools import cache
from typing import TYPE_CHECKING

import polib
from django.utils.translation.template import templatize

from tests.house.tree import ROOT, files, modules, name, text_of, tree_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

FOLDER = ROOT / "locale" / "es" / "LC_MESSAGES"
OUTSIDERS_READ = ("program/status/", "sponsors/portal/")
CALLS = {
    "say": 1,
    "Say": 1,
    "_": 1,
    "gettext": 1,
    "gettext_lazy": 1,
    "gettext_noop": 1,
    "ngettext": 2,
}
IN_TEMPLATE = re.compile(r"""\b(?:_|n?gettext)\((u?(?:"(?:\\.|[^"\\])*"|'(?:\\.|[^'\\])*'))""")
PLACE = re.compile(r"%\([a-z_]+\)[sd]|\{[a-z_]+[^}]*\}")


@cache
def catalog() -> polib.POFile:
    assert (FOLDER / "django.po").exists()
    return polib.pofile(str(FOLDER / "django.po"))


def calls(path: Path) -> Iterator[tuple[str, ast.Call]]:
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in CALLS:
            yield f"{name(path)}:{node.lineno}", node


def sentences_in_code() -> Iterator[tuple[str, str]]:
    for path in modules():
        for place, call in calls(path):
            count = CALLS[call.func.id] if isinstance(call.func, ast.Name) else 0
            for argument in call.args[:count]:
                if isinstance(argument, ast.Constant) and argument.value:
                    yield place, str(argument.value)


def sentences_in_templates() -> Iterator[tuple[str, str]]:
    for path in files("templates", suffix=".html"):
        for found in IN_TEMPLATE.finditer(templatize(text_of(path))):
            yield name(path), str(ast.literal_eval(found.group(1)))


def test_no_sentence_is_put_together_before_it_is_translated() -> None:
    built = [
        place
        for path in modules()
        for place, call in calls(path)
        if call.args and isinstance(call.args[0], ast.JoinedStr | ast.BinOp)
    ]
    assert built == []


def test_each_sentence_of_the_code_is_in_the_catalog() -> None:
    entries = [entry for entry in catalog() if not entry.obsolete]
    known = {text for entry in entries for text in (entry.msgid, entry.msgid_plural)}
    missing = [f"{place}: {text}" for place, text in sentences_in_code() if text not in known]
    assert missing == []


def test_each_sentence_of_the_pages_for_outsiders_is_translated() -> None:
    known = {entry.msgid for entry in catalog().translated_entries()}
    missing = [
        f"{place}: {text}"
        for place, text in sentences_in_code()
        if place.startswith(OUTSIDERS_READ) and text not in known
    ]
    assert missing == []


def test_each_sentence_of_a_template_is_translated() -> None:
    known = {entry.msgid for entry in catalog().translated_entries()}
    missing = [f"{place}: {text}" for place, text in sentences_in_templates() if text not in known]
    assert missing == []


def test_a_translation_keeps_the_places_for_values() -> None:
    changed = [
        entry.msgid
        for entry in catalog().translated_entries()
        if entry.msgstr and set(PLACE.findall(entry.msgid)) != set(PLACE.findall(entry.msgstr))
    ]
    assert changed == []


def test_no_translation_is_a_guess() -> None:
    assert [entry.msgid for entry in catalog().fuzzy_entries()] == []


def test_the_compiled_catalog_is_that_of_the_text() -> None:
    assert (FOLDER / "django.mo").exists()
    compiled = polib.mofile(str(FOLDER / "django.mo"))
    text = {
        (entry.msgctxt, entry.msgid): (entry.msgstr, entry.msgstr_plural)
        for entry in catalog().translated_entries()
    }
    assert {
        (entry.msgctxt, entry.msgid): (entry.msgstr, entry.msgstr_plural) for entry in compiled
    } == text
