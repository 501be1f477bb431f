"""The picture of the order of work: the arrows that it has, and the same in words."""

from __future__ import annotations

from shared.charts import NARROW, WIDE, Chart
from vehicles.repairs.drawn import Drawable, order_chart

RACK = Drawable(id=1, title="Steering rack", tier=0)
ALIGN = Drawable(id=2, title="Alignment", tier=1, first=(1,))
TIRES = Drawable(id=3, title="Front tires", tier=1, first=(1,), causes=(2,))


def looks(chart: Chart) -> list[str]:
    return [shape.look for shape in chart.wide.shapes if "C" in shape.d]


def said(chart: Chart) -> list[tuple[str, ...]]:
    return [tuple(map(str, row)) for row in chart.rows]


def test_an_arrow_that_another_way_says_already_is_left_out() -> None:
    chart = order_chart([RACK, ALIGN, TIRES], None, set())
    assert looks(chart) == ["ax2", "ax2 da"]  # dashed where the first mends the cause
    assert said(chart) == [
        ("Steering rack", "nothing", ""),
        ("Alignment", "Steering rack", ""),
        ("Front tires", "Steering rack; Alignment (mends the cause)", ""),
    ]


def test_the_gate_has_a_heavy_frame_and_is_named() -> None:
    chart = order_chart([RACK, ALIGN], 1, set())
    frames = [shape for shape in chart.wide.shapes if shape.look == "ax2" and shape.d.endswith("z")]
    assert len(frames) == 1
    assert said(chart)[0] == ("Steering rack", "nothing", "the gate: solved or funded first")
    assert "tier 0, the gate" in [str(shape.words) for shape in chart.wide.shapes]


def test_a_gate_alone_is_drawn_and_items_without_order_are_not() -> None:
    chart = order_chart([RACK, Drawable(id=9, title="Horn", tier=3)], 1, set())
    assert [row[0] for row in said(chart)] == ["Steering rack"]
    assert (chart.wide.width, chart.narrow.width) == (WIDE, NARROW)


def test_what_is_shared_is_written_into_the_box() -> None:
    hose = Drawable(id=4, title="Hose", tier=1, access="wheels_front", first=(1,))
    words = [
        str(shape.words) for shape in order_chart([RACK, hose], None, {hose.access}).wide.shapes
    ]
    assert "tier 1, front wheels off" in words


def test_what_comes_first_and_is_not_drawn_is_left_out() -> None:
    chart = order_chart([ALIGN, TIRES], None, set())
    assert said(chart) == [
        ("Alignment", "nothing", ""),
        ("Front tires", "Alignment (mends the cause)", ""),
    ]
