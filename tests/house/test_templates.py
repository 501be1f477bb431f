"""Templates hold no style, no script and no more than a page; the content policy forbids both."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from django.template import Engine

from tests.house.tree import ROOT, files, name, text_of

if TYPE_CHECKING:
    from pathlib import Path

MAX_LINES = 120
TEMPLATES = files("templates", suffix=".html")
INLINE = {
    "a style attribute": re.compile(r"""<[^>]*\sstyle\s*=""", re.IGNORECASE),
    "a style element": re.compile(r"<style\b", re.IGNORECASE),
    "an event handler": re.compile(r"""<[^>]*\son[a-z]+\s*=\s*["']""", re.IGNORECASE),
    "a script without a source": re.compile(r"<script(?![^>]*\ssrc=)[^>]*>", re.IGNORECASE),
    "an address of another host": re.compile(
        r"""(?:src|href|action)\s*=\s*["']?(?:https?:)?//(?!\{\{)""", re.IGNORECASE
    ),
    "an unescaped value": re.compile(r"\|\s*safe\b"),
}
COMMENT = re.compile(r"\{#.*?#\}|\{% comment.*?endcomment %\}", re.DOTALL)


@pytest.mark.parametrize("what", INLINE)
def test_no_template_holds(what: str) -> None:
    found = [
        name(path) for path in TEMPLATES if INLINE[what].search(COMMENT.sub("", text_of(path)))
    ]
    assert found == []


def test_no_template_is_longer_than_120_lines() -> None:
    assert [name(path) for path in TEMPLATES if text_of(path).count("\n") > MAX_LINES] == []


@pytest.mark.parametrize("path", TEMPLATES, ids=name)
def test_a_template_can_be_read(path: Path) -> None:
    relative = name(path).removeprefix("templates/")
    assert Engine.get_default().get_template(relative).name == relative


def test_there_are_templates() -> None:
    assert (ROOT / "templates" / "base.html") in TEMPLATES
