from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase import pdfmetrics

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.drafting import (
    Kind,
    Line,
    Part,
    Tells,
    box_of,
    graph_of,
    in_hundred,
    room,
    wrapped,
)


@given(st.text("".join(map(chr, range(32, 127))), max_size=40))
def test_no_text_takes_more_room_than_it_is_given(text: str) -> None:
    # Adobe's metrics of Helvetica, as reportlab holds them: a face of the usual width.
    assert room(text) >= pdfmetrics.stringWidth(text, "Helvetica", 14)


def test_a_word_wider_than_its_box_is_cut() -> None:
    lines = wrapped("a Donaudampfschiff", 60)
    assert "".join(lines) == "aDonaudampfschiff"
    assert max(map(room, lines)) <= 60


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.0, "0 in 100"), (0.009, "under 1 in 100"), (0.995, "over 99 in 100"), (1.0, "100 in 100")],
)
def test_a_share_is_said_in_a_hundred(share: float, words: str) -> None:
    assert str(in_hundred(share)) == words


def test_a_box_has_its_title_in_lines_and_what_was_seen_below() -> None:
    part = Part(code="level", kind=Kind.SEEN, title="Coolant level, cold", below="Low")
    box = box_of(part, x=10, y=100, width=120)
    assert box.lines == (
        Line(x=19, y=123, words="Coolant"),
        Line(x=19, y=141, words="level, cold"),
        Line(x=19, y=159, words="Low", strong=True),
    )
    assert (box.x, box.y, box.width, box.height, box.bar) == (10, 100, 120, 74, 0)


def test_a_fault_and_a_check_of_one_code_are_two_parts() -> None:
    model = a_model([a_fault("level")], [a_check("level", given={"level": (0.1, 0.9)})])
    graph = graph_of(model, {"level": 0.5}, {"level": "yes"}, "")
    assert list(graph.parts) == ["fault level", "check level"]
    assert graph.tells == {("fault level", "check level"): Tells.FOR}
    assert graph.checks == ["check level"]


def test_an_outcome_as_frequent_as_on_a_sound_car_draws_no_line() -> None:
    model = a_model([a_fault("hose")], [a_check("level", given={"hose": (0.9, 0.1)})])
    assert graph_of(model, {"hose": 0.5}, {"level": "yes"}, "").tells == {}
