"""What a criterion must keep so that it can be judged, and never judges a worse number better.

>>> from vehicles.inspection.catalogue import load
>>> check(load()["tire-tread"])
>>> len(load()["tire-tread"].limits)
1
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from vehicles.inspection.criteria import NONE
from vehicles.inspection.depths import Depth
from vehicles.inspection.units import UNITS

if TYPE_CHECKING:
    from vehicles.inspection.criteria import Criterion


def check(criterion: Criterion) -> None:
    """Refuse a criterion that could not be judged, or that would judge a worse number better.

    Raises:
        ValueError: with what is wrong.
    """
    keys = [reason.key for reason in criterion.reasons]
    if not keys or len(keys) != len(set(keys)):
        raise ValueError(f"“{criterion.title}” needs reasons, each with its own key.")
    if any(not 1 <= reason.severity <= 4 for reason in criterion.reasons):  # noqa: PLR2004 - MIL-STD-882E has four
        raise ValueError(f"A severity of “{criterion.title}” is not 1 to 4.")
    if Depth.FULL not in criterion.depths or not set(Depth).issuperset(criterion.depths):
        raise ValueError(f"“{criterion.title}” is read in {', '.join(Depth)}, at least in full.")
    if not criterion.is_measured:
        if criterion.limits:
            raise ValueError(f"“{criterion.title}” has limits but no unit.")
        return
    if criterion.unit not in UNITS:
        raise ValueError(f"“{criterion.unit}” is not a unit this catalogue knows.")
    used = {limit.reason for limit in criterion.limits} - {NONE}
    if used != set(keys):
        raise ValueError(f"The limits of “{criterion.title}” do not name each of its reasons.")
    _check_order(criterion)


def _check_order(criterion: Criterion) -> None:
    """Refuse limits out of order: the worst has to be tried first, and lies furthest out."""
    for lower in (True, False):
        side = [limit for limit in criterion.limits if limit.is_lower == lower]
        for first, second in pairwise(limit for limit in side if limit.reason != NONE):
            inside = first.value <= second.value if lower else first.value >= second.value
            worse = criterion.reason(first.reason).ranks_as.rank
            if not inside or worse < criterion.reason(second.reason).ranks_as.rank:
                raise ValueError(f"The limits of “{criterion.title}” are out of order.")
    within = all(criterion.low <= limit.value <= criterion.high for limit in criterion.limits)
    if not (within or criterion.marked_limit):
        raise ValueError(f"A limit of “{criterion.title}” lies outside its plausible range.")
