"""Pictures: the strokes are the cases, the bars are to scale, the title says the figures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from shared.charts import FundBar, Step, WeekHours, fund_bars, hours_by_week, strokes, tally

if TYPE_CHECKING:
    from shared.charts import Chart, Shape


def strokes_of(shape: Shape) -> int:
    return shape.d.count("M")


def bars(chart: Chart, look: str) -> list[float]:
    """Return the widths of the bars of one look in the wide drawing, without the key's boxes."""
    shapes = chart.wide.shapes
    paths = [s.d for s in shapes if s.d and (s.hatched if look == "hatch" else s.look == look)]
    widths = [float(d.split("h")[1].split("v")[0]) for d in paths]
    return [width for width, d in zip(widths, paths, strict=True) if not d.endswith("h-16z")]


@given(st.integers(min_value=0, max_value=200))
def test_one_stroke_is_one_case(count: int) -> None:
    assert strokes_of(strokes(count, x=0, y=0)) == count


@given(st.lists(st.integers(min_value=0, max_value=60), min_size=1, max_size=9))
def test_strokes_and_the_rest_in_figures_are_all_cases(counts: list[int]) -> None:
    steps = [Step(label="in repair", count=count) for count in counts]
    for drawing in (tally(steps).wide, tally(steps).narrow):
        drawn = sum(strokes_of(s) for s in drawing.shapes if s.look == "st")
        rest = sum(int(str(s.words)[1:]) for s in drawing.shapes if str(s.words).startswith("+"))
        assert drawn + rest == sum(counts)


def test_the_tally_says_its_figures() -> None:
    chart = tally([Step(label="applied", count=3, longest_days=5), Step(label="closed", count=0)])
    assert str(chart.title) == "3 open cases by step: applied 3, closed 0"
    assert chart.rows == (("applied", "3", "5"), ("closed", "0", "–"))


def test_a_bar_is_as_wide_as_its_money() -> None:
    chart = fund_bars(
        [
            FundBar(name="General", set_aside=10_00, this_plan=20_00, left=70_00),
            FundBar(name="Pruitt", set_aside=0, this_plan=25_00, left=25_00),
        ]
    )
    assert bars(chart, "fs") == [620, 310]
    assert bars(chart, "hatch") == [62, 0]
    assert bars(chart, "fi") == [124, 155]


def test_an_overdrawn_fund_is_said_and_has_no_free_bar() -> None:
    chart = fund_bars([FundBar(name="Winter", set_aside=0, this_plan=30_00, left=-20_00)])
    assert str(chart.title) == "Free money by fund: Winter −20.00"
    assert bars(chart, "fs") == bars(chart, "fi")
    assert chart.rows == (("Winter", "0.00", "30.00", "−20.00"),)


def test_hours_say_what_is_left() -> None:
    chart = hours_by_week([WeekHours(label="December 14", there=1800, given=1590)])
    assert chart.rows == (("December 14", "30:00", "26:30", "3:30"),)
    assert (bars(chart, "fs"), bars(chart, "fi")) == ([620], [547.7])


def test_a_chart_of_nothing_is_drawn_all_the_same() -> None:
    assert [tally([]).rows, fund_bars([]).rows, hours_by_week([]).rows] == [(), (), ()]
