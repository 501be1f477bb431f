from __future__ import annotations

import re
from itertools import combinations
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.drafting import Kind, Tells, room
from vehicles.diagnosis.layout import drawing, lanes, lay_out

if TYPE_CHECKING:
    from vehicles.diagnosis.drafting import Box, Layout
    from vehicles.diagnosis.fault_model import FaultModel

ALL = {"fan": 0.3, "hose": 0.5, "thermostat": 0.004, "gasket": 0.2}
SEEN = {"level": "low", "bubbles": "no"}
TITLES = st.text("abc MW", min_size=1, max_size=60).filter(lambda text: text.strip())


@st.composite
def models(draw: st.DrawFn) -> tuple[FaultModel, dict[str, float], dict[str, str], str]:
    """Return a model of any shape without circles, what is shown of it, seen, and next."""
    codes = [f"f{n}" for n in range(draw(st.integers(0, 9)))]
    faults = []
    for n, code in enumerate(codes):
        causes = draw(st.sets(st.sampled_from(codes[:n]))) if n else set()
        title = draw(TITLES)
        faults.append(a_fault(code, 0.1, title=title, caused_by=dict.fromkeys(sorted(causes), 0.1)))
    checks = [
        # A check may have the code of a fault.
        a_check(
            f"f{n}",
            title=draw(TITLES),
            given={
                code: draw(st.sampled_from([(0.9, 0.1), (0.2, 0.8), (0.95, 0.05)]))
                for code in sorted(draw(st.sets(st.sampled_from(codes))) if codes else ())
            },
        )
        for n in range(draw(st.integers(0, 6)))
    ]
    shown = draw(st.sets(st.sampled_from(codes))) if codes else set()
    done = {one.code: draw(st.sampled_from(["no", "yes"])) for one in checks[1:]}
    return a_model(faults, checks), dict.fromkeys(sorted(shown), 0.25), done, "f0"


def overlap(one: Box, other: Box) -> bool:
    across = one.x < other.x + other.width and other.x < one.x + one.width
    return across and one.y < other.y + other.height and other.y < one.y + one.height


def on_border(box: Box, point: tuple[int, int]) -> bool:
    x, y = point
    return x in {box.x, box.x + box.width} and box.y <= y <= box.y + box.height


def boxes_of(layout: Layout, *, faults: bool) -> dict[str, Box]:
    return {one.code: one for one in layout.boxes if (one.kind is Kind.FAULT) is faults}


def heights(d: str) -> list[int]:
    """Return the heights that a path reaches."""
    found = []
    for sign, rest in re.findall(r"([MCHV])([-\d ]+)", d):
        numbers = [int(one) for one in rest.split()]
        found += {"H": [], "V": numbers}.get(sign, numbers[1::2])
    return found


def levels(d: str) -> list[tuple[int, int, int]]:
    """Return each level stretch of a path: its height, from where, to where."""
    x = y = 0
    found = []
    for sign, rest in re.findall(r"([MCHV])([-\d ]+)", d):
        numbers = [int(one) for one in rest.split()]
        if sign == "H":
            found.append((y, min(x, numbers[0]), max(x, numbers[0])))
            x = numbers[0]
        elif sign == "V":
            y = numbers[0]
        else:
            x, y = numbers[-2:]
    return found


@given(models(), st.booleans())
def test_no_two_boxes_overlap_and_all_stand_inside_the_picture(drawn: Any, narrow: bool) -> None:  # noqa: FBT001 - drawn
    layout = lay_out(*drawn, narrow=narrow)
    assert not [pair for pair in combinations(layout.boxes, 2) if overlap(*pair)]
    for box in layout.boxes:
        assert box.x > 0
        assert box.y > 0
        assert box.x + box.width < layout.width
        assert box.y + box.height < layout.height


@given(models(), st.booleans())
def test_every_line_goes_from_the_border_of_a_fault_to_that_of_its_target(
    drawn: Any,
    narrow: bool,  # noqa: FBT001 - drawn
) -> None:
    layout = lay_out(*drawn, narrow=narrow)
    faults, checks = boxes_of(layout, faults=True), boxes_of(layout, faults=False)
    for edge in layout.edges:
        target = (faults if edge.tells is Tells.CAUSES else checks)[edge.target]
        assert on_border(faults[edge.source], edge.start)
        assert on_border(target, edge.end)
        assert edge.d.startswith(f"M{edge.start[0]} {edge.start[1]}")
        assert re.findall(r"-?\d+", edge.d)[-1] == str(edge.end[0] if narrow else edge.end[1])


@given(models(), st.booleans())
def test_no_line_leaves_the_picture(drawn: Any, narrow: bool) -> None:  # noqa: FBT001 - drawn
    layout = lay_out(*drawn, narrow=narrow)
    assert all(0 < y < layout.height for edge in layout.edges for y in heights(edge.d))


@given(models(), st.booleans())
def test_no_line_runs_through_a_box(drawn: Any, narrow: bool) -> None:  # noqa: FBT001 - drawn
    # Wide, curves stay between columns and only level stretches pass one; narrow, lanes stay
    # outside of all boxes.
    layout = lay_out(*drawn, narrow=narrow)
    for edge in layout.edges:
        for y, left, right in levels(edge.d):
            for box in layout.boxes:
                inside = box.y < y < box.y + box.height
                assert not (inside and left < box.x + box.width and box.x < right)


@given(models(), st.booleans())
def test_every_line_of_words_stands_inside_its_box(drawn: Any, narrow: bool) -> None:  # noqa: FBT001 - drawn
    for box in lay_out(*drawn, narrow=narrow).boxes:
        for line in box.lines:
            assert box.x < line.x
            assert line.x + room(str(line.words)) < box.x + box.width
            assert box.y < line.y < box.y + box.height


@given(models(), st.booleans())
def test_the_same_input_gives_the_same_picture(drawn: Any, narrow: bool) -> None:  # noqa: FBT001 - drawn
    assert lay_out(*drawn, narrow=narrow) == lay_out(*drawn, narrow=narrow)


def test_causes_stand_left_of_what_they_bring_about_and_checks_last() -> None:
    layout = lay_out(a_model(), ALL, SEEN, "fan-runs")
    faults, checks = boxes_of(layout, faults=True), boxes_of(layout, faults=False)
    columns = sorted({box.x for box in layout.boxes})
    assert {code: columns.index(box.x) for code, box in faults.items()} == {
        "fan": 1,
        "hose": 0,
        "thermostat": 1,
        "gasket": 1,
    }
    assert {columns.index(box.x) for box in checks.values()} == {2}


def test_a_line_says_what_was_seen_of_each_fault() -> None:
    layout = lay_out(a_model(), ALL, SEEN, "fan-runs")
    assert {(one.source, one.target): one.tells for one in layout.edges} == {
        ("hose", "gasket"): Tells.CAUSES,
        ("hose", "level"): Tells.FOR,
        ("gasket", "level"): Tells.FOR,
        ("gasket", "bubbles"): Tells.AGAINST,
        ("fan", "fan-runs"): Tells.WOULD,
    }
    assert [one.head != "" for one in layout.edges] == [True, False, False, False, False]


def test_a_box_says_the_share_or_what_was_seen() -> None:
    layout = lay_out(a_model(), ALL, SEEN, "fan-runs", narrow=True)
    said = {one.code: " / ".join(str(line.words) for line in one.lines) for one in layout.boxes}
    assert said == {
        "fan": "Fan / 30 in 100",
        "hose": "Hose / 50 in 100",
        "thermostat": "Thermostat / under 1 in 100",
        "gasket": "Gasket / 20 in 100",
        "level": "Level / Low",
        "fan-runs": "Fan runs / next check",
        "bubbles": "Bubbles / No",
    }
    assert {one.code: one.kind for one in layout.boxes}["fan-runs"] is Kind.NEXT
    assert [one.bar for one in layout.boxes if one.code == "hose"] == [layout.boxes[1].width // 2]


def test_only_faults_with_a_share_and_checks_seen_are_shown() -> None:
    layout = lay_out(a_model(), {"fan": 0.9}, {"level": "full"})
    assert [one.code for one in layout.boxes] == ["fan", "level"]
    assert layout.edges == ()


def test_an_outcome_that_a_check_cannot_show_is_refused() -> None:
    with pytest.raises(ValueError, match="“Level” can’t show “boiling”"):
        lay_out(a_model(), ALL, {"level": "boiling"})


def test_the_pictures_have_the_widths_of_a_page_and_of_a_phone() -> None:
    assert lay_out(a_model(), ALL, SEEN).width == 960
    assert lay_out(a_model(), ALL, SEEN, narrow=True).width == 360


def test_a_long_chain_makes_the_picture_wider_rather_than_its_boxes_too_slim() -> None:
    faults = [a_fault(f"f{n}", 0.1, caused_by={f"f{n - 1}": 0.5} if n else {}) for n in range(12)]
    layout = lay_out(a_model(faults, []), {one.code: 0.1 for one in faults}, {})
    assert {one.width for one in layout.boxes} == {120}
    assert layout.width == 2 + 12 * 120 + 11 * 44 + 2


def test_a_picture_of_nothing_is_empty() -> None:
    for narrow in (False, True):
        layout = lay_out(a_model(), {}, {}, narrow=narrow)
        assert (layout.boxes, layout.edges, layout.height) == ((), (), 2)


def test_lines_that_do_not_meet_share_a_lane() -> None:
    assert lanes({"a": (0, 2), "b": (1, 3), "c": (3, 4), "d": (4, 5)}) == {
        "a": 0,
        "b": 1,
        "c": 0,
        "d": 1,
    }


def test_what_is_drawn_are_lines_below_boxes_and_words() -> None:
    layout = lay_out(a_model(), {"hose": 0.5, "gasket": 0.2}, {})
    shapes = drawing(layout).shapes
    assert [one.look for one in shapes] == ["ax2", "fi", "fs", "fi", "", "bd", "fs", "fi", "", "bd"]
    assert shapes[0].d == layout.edges[0].d
    assert [str(one.words) for one in shapes if one.words][:2] == ["Hose", "50 in 100"]
