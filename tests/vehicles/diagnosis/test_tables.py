"""The list of fault models."""

from __future__ import annotations

from dataclasses import replace

from vehicles.diagnosis.shelf import ModelLine
from vehicles.diagnosis.tables import ModelTable

LINE = ModelLine(code="hot", title="Runs hot", version="1", whose="Our own")


def test_a_text_that_can_not_be_read_is_marked_in_the_list() -> None:
    row = ModelTable([replace(LINE, is_readable=False)]).rows[0]
    said = 'Our own<span class="sub">can’t be read any more</span>'
    assert row.get_cell("whose") == said


def test_of_any_other_only_whose_it_is_is_said() -> None:
    row = ModelTable([LINE]).rows[0]
    assert (row.get_cell("whose"), row.get_cell("faults")) == ("Our own", "–")
