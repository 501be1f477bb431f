"""What somebody says of wheels that were tightened, as the form hands it over.

>>> Tightened(wrench_id=3, foot_pounds=80).wheels
('LF', 'RF', 'LR', 'RR')
>>> Tightened(wrench_id=3, foot_pounds=80, is_again=True, odometer_mi=98_260).is_again
True
"""

from __future__ import annotations

from dataclasses import dataclass

from vehicles.wheels.torque import WHEELS


@dataclass(frozen=True, kw_only=True)
class Tightened:
    """Wheels tightened with one wrench to one figure; `is_again` where it is the second time."""

    wrench_id: int
    foot_pounds: int
    wheels: tuple[str, ...] = WHEELS
    odometer_mi: int | None = None
    is_again: bool = False
