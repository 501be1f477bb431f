"""Narrowing the spends without a paper."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from program.models import Entry
from program.papers.filters import EntryFilter
from tests.factories import make_entry

pytestmark = pytest.mark.django_db


def test_entries_are_narrowed_by_words_and_days() -> None:
    for what, day in (("Rent", 1), ("rent again", 9), ("Power", 9)):
        make_entry(what=what, on=date(2026, 11, day))
    asked: dict[str, Any] = {"words": "rent", "since": "2026-11-02", "until": "2026-11-30"}
    found = EntryFilter(asked, queryset=Entry.objects.all()).qs
    assert [row.what for row in found] == ["rent again"]


def test_a_day_that_is_none_is_refused_in_our_words() -> None:
    narrowed = EntryFilter({"since": "soon"}, queryset=Entry.objects.all())
    assert narrowed.errors == {"since": ["“soon” is not a date. Type 2026-12-01 or 12/1/2026."]}
