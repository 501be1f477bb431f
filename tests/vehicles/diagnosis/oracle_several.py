"""The cheapest way through a tiny problem of several faults, by going through every way to look.

All combinations of faults are held with their joint chances, so nothing is approximated. A look
finds a part bad, and repairs it, or good; the complaint ends with the last bad part.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import product
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np

from vehicles.diagnosis.sequence import Bill

if TYPE_CHECKING:
    from collections.abc import Sequence

Array: TypeAlias = np.ndarray[Any, Any]


@dataclass(frozen=True)
class Several:
    """All combinations of five faults with their joint chances, after some observations."""

    combinations: Array
    joint: Array
    bill: Bill

    def open_cases(self, found: Sequence[int]) -> Array:
        """Return the joint chances with the complaint still there.

        `found` has the state of each fault: 0 not looked at, 1 repaired, 2 good.
        """
        fits, left = self.joint > 0, self.combinations.sum(axis=1) == 0
        for place, state in enumerate(found):
            if state:
                fits = fits & (self.combinations[:, place] == (state == 1))
            else:
                left = left | (self.combinations[:, place] == 1)
        shown: Array = self.joint * (fits & left)
        return shown

    def optimum(self) -> float:
        """Return the cheapest of all ways to look, each look told by the ones before."""

        @cache
        def best(found: tuple[int, ...]) -> float:
            open_ = self.open_cases(found)
            ways = [open_.sum() * self.bill.specialist]
            for place in (i for i, state in enumerate(found) if not state):
                bad = open_[self.combinations[:, place] == 1].sum()
                cost = open_.sum() * self.bill.look[place] + bad * self.bill.repair[place]
                after = [(*found[:place], state, *found[place + 1 :]) for state in (1, 2)]
                ways.append(cost + sum(best(one) for one in after))
            return float(min(ways))

        return best((0,) * len(self.bill.look))

    def real_cost(self, order: Sequence[int]) -> float:
        """Return what an order costs in truth; what was looked at is good or repaired."""
        cost, rest = 0.0, list(range(len(self.bill.look)))
        for place in order:
            open_ = self.joint * self.is_open(rest)
            bad = open_[self.combinations[:, place] == 1].sum()
            cost += open_.sum() * self.bill.look[place] + bad * self.bill.repair[place]
            rest.remove(place)
        return cost + float((self.joint * self.is_open(rest)).sum()) * self.bill.specialist

    def is_open(self, rest: Sequence[int]) -> Array:
        """Return which combinations show the complaint while only `rest` may be bad."""
        none = self.combinations.sum(axis=1) == 0
        shown: Array = none | (self.combinations[:, list(rest)].sum(axis=1) > 0)
        return shown


def several(seed: int) -> Several:
    """Return five faults, the first bringing about the second, after three noisy checks."""
    chance = np.random.default_rng(seed)
    every = np.array(list(product([0, 1], repeat=5)))
    own = chance.uniform(0.02, 0.4, 5)
    p = np.broadcast_to(own, every.shape).copy()
    p[:, 1] = np.where(every[:, 0] == 1, 1 - (1 - own[1]) * 0.5, own[1])
    joint = np.prod(np.where(every == 1, p, 1 - p), axis=1)
    for _ in range(3):
        strength = chance.uniform(0, 0.9, 5) * (chance.random(5) < 0.6)
        shows = 1 - 0.9 * np.prod(np.where(every == 1, 1 - strength, 1), axis=1)
        joint = joint * (shows if chance.random() < 0.6 else 1 - shows)
    bill = Bill(
        look=chance.uniform(5, 60, 5),
        repair=chance.uniform(10, 300, 5),
        specialist=float(chance.uniform(150, 500)),
    )
    return Several(every, joint / joint.sum(), bill)
