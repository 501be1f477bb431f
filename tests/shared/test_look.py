"""The look keeps its promises: contrast, size, no rule that a strict policy refuses."""

from __future__ import annotations

import gzip
import re

import pytest

from tests.house.tree import ROOT, files

STATIC = ROOT / "shared" / "static" / "shared"
APP = (STATIC / "app.css").read_text(encoding="utf-8")
STATUS = (STATIC / "status.css").read_text(encoding="utf-8")

# WCAG 2.2, success criteria 1.4.3 (text, 4.5) and 1.4.11 (controls and marks, 3).
TEXT, THING = 4.5, 3.0
PAIRS = [
    ("ink", "paper", TEXT),
    ("ink", "sheet", TEXT),
    ("ink", "wash", TEXT),
    ("ink-2", "paper", TEXT),
    ("ink-2", "sheet", TEXT),
    ("accent", "paper", TEXT),
    ("accent", "sheet", TEXT),
    ("on-accent", "accent", TEXT),
    ("tag-ink", "tag", TEXT),
    ("edge", "paper", THING),
    ("edge", "sheet", THING),
    ("tag-edge", "tag", THING),
]


def tokens(*, dark: bool) -> dict[str, tuple[int, int, int]]:
    """Return the colors of a scheme from the stylesheet itself."""
    blocks = re.findall(r":root \{(.*?)\}", APP, re.DOTALL)
    found = re.findall(r"--([\w-]+): (#[0-9a-f]{3,6})\b", blocks[1 if dark else 0])
    full = {name: code if len(code) == 7 else "#" + 2 * code[1:] for name, code in found}
    return {name: tuple(bytes.fromhex(code[1:])) for name, code in full.items()}  # type: ignore[misc]


def luminance(color: tuple[int, int, int]) -> float:
    """Return the relative luminance. Source: WCAG 2.2, definition of relative luminance."""
    parts = [value / 255 for value in color]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: tuple[int, int, int], other: tuple[int, int, int]) -> float:
    """Return the contrast ratio. Source: WCAG 2.2, definition of contrast ratio."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_ratio_of_black_on_white_is_21() -> None:
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize(("front", "ground", "least"), PAIRS)
def test_a_pair_of_colors_has_contrast(
    front: str, ground: str, least: float, *, dark: bool
) -> None:
    colors = tokens(dark=dark)
    assert contrast(colors[front], colors[ground]) >= least


def test_the_stylesheets_stay_small() -> None:
    assert len(gzip.compress(APP.encode(), mtime=0)) < 8_300
    assert len(gzip.compress(STATUS.encode(), mtime=0)) < 2_000


def test_the_household_s_page_uses_plain_rules_for_old_phones() -> None:
    without_comment = re.sub(r"/\*.*?\*/", "", STATUS, flags=re.DOTALL)
    for rule in ("var(", "grid", "@layer", "light-dark(", "&", ":has("):
        assert rule not in without_comment


def test_nothing_is_fetched_from_elsewhere() -> None:
    assert re.findall(r"url\(|@import", APP + STATUS) == []


def test_each_class_of_the_shared_templates_is_in_the_stylesheet() -> None:
    known = set(re.findall(r"\.([a-z][\w-]*)", APP + STATUS))
    used = set()
    for path in files("templates/shared", suffix=".html"):
        text = re.sub(r"\{[%{#].*?[%}#]\}", " ", path.read_text(encoding="utf-8"))
        used |= {name for value in re.findall(r'class="([^"]*)"', text) for name in value.split()}
    assert used - known == set()
