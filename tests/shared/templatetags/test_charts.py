"""A chart on a page: two drawings, each with a title, and the figures in a table."""

from __future__ import annotations

from django.template import Context, Template

from shared.charts import FundBar, Step, fund_bars, tally
from tests.shared.pages import tidy

PAGE = Template("{% load charts %}{% chart chart 'where' %}{% chart chart 'again' figures=False %}")


def drawn(chart: object) -> str:
    return tidy(PAGE.render(Context({"chart": chart})))


def test_each_drawing_says_its_content() -> None:
    html = drawn(tally([Step(label="in repair", count=5, longest_days=6)]))
    for name in ("where-w", "where-n", "again-w", "again-n"):
        assert f'role="img" aria-labelledby="{name}"' in html
        title = f'<title id="{name}">5 open cases by step: in repair 5</title>'
        assert title in html


def test_the_figures_stand_in_a_table_unless_the_page_has_its_own() -> None:
    html = drawn(tally([Step(label="in repair", count=5, longest_days=6)]))
    assert html.count("<table") == 1
    assert '<th scope="row">in repair</th>' in html


def test_each_drawing_hatches_with_its_own_pattern() -> None:
    html = drawn(fund_bars([FundBar(name="A & B", set_aside=1, this_plan=1, left=1)]))
    assert 'id="where-w-hatch"' in html
    assert 'fill="url(#where-n-hatch)"' in html
    assert "A &amp; B" in html
    assert "style=" not in html
