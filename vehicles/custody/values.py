"""A name drawn on the pad: its strokes as they are kept, and the path that draws them again.

A stroke is what was drawn without lifting the finger: pairs of whole numbers on a field of 600 by
200, x to the right and y down.

>>> strokes_of("[[[10, 90], [200, 20], [300, 150]], [[320, 80], [420, 60]]]")
[[[10, 90], [200, 20], [300, 150]], [[320, 80], [420, 60]]]
>>> path([[[10, 90], [200, 20]]])
'M10 90L200 20'
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from collections.abc import Sequence

WIDTH: Final = 600
HEIGHT: Final = 200
MOST_POINTS: Final = 5_000
LEAST_WIDTH: Final = 60  # a tenth of the pad: less is a slip of the finger, not a name

UNREADABLE: Final = "The signature did not arrive whole. Clear the pad and sign again."

Stroke = list[list[int]]


def strokes_of(text: str) -> list[Stroke]:
    """Return the strokes that the pad sent as JSON.

    Raises:
        ValueError: nothing or only a dot was drawn, or what came is no drawing on this pad.
    """
    try:
        sent = json.loads(text or "[]")
    except (ValueError, RecursionError) as error:
        raise ValueError(UNREADABLE) from error
    if not isinstance(sent, list) or not all(_is_stroke(one) for one in sent):
        raise ValueError(UNREADABLE)
    points = [point for stroke in sent for point in stroke]
    if len(points) > MOST_POINTS:
        raise ValueError(UNREADABLE)
    across = [x for x, _ in points]
    if not across or max(across) - min(across) < LEAST_WIDTH:
        raise ValueError("The pad is empty, or nearly so. Sign on it, or sign on paper.")
    return sent


def path(strokes: Sequence[Sequence[Sequence[int]]]) -> str:
    """Return the strokes as the `d` of an SVG path."""
    lines = ["L".join(f"{x} {y}" for x, y in stroke) for stroke in strokes]
    return "".join(f"M{line}" for line in lines)


def _is_stroke(sent: Any) -> bool:
    """Return whether this is a list of points on the pad, at least one."""
    return isinstance(sent, list) and bool(sent) and all(_is_point(one) for one in sent)


def _is_point(sent: Any) -> bool:
    """Return whether this is one pair of whole numbers on the pad."""
    if not isinstance(sent, list) or [type(one) for one in sent] != [int, int]:
        return False
    x, y = sent
    return x in range(WIDTH + 1) and y in range(HEIGHT + 1)
