"""Markup as a test compares it."""

from __future__ import annotations

import re


def tidy(html: str) -> str:
    """Return markup on one line, without the spaces that stand only for the template's layout."""
    line = re.sub(r"\s+", " ", html).strip()
    return re.sub(r"(?<=>) | (?=<)| (?=/?>)", "", line)
