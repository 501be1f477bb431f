"""Draws a chart of `shared.charts`: both drawings, and its figures as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django import template

if TYPE_CHECKING:
    from shared.charts import Chart

register = template.Library()


@register.inclusion_tag("shared/charts/chart.html")
def chart(drawn: Chart, name: str, *, figures: bool = True) -> dict[str, object]:
    """Return the picture; `name` is unique on its page, `figures` folds its table in below."""
    return {"chart": drawn, "name": name, "figures": figures}
