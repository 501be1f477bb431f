"""The cheapest way of all through a tiny problem, by going through every tree of decisions.

Looks at parts and checks may follow each other in any order; the specialist ends the matter. It
shares nothing with the code it judges: plain loops over one cause at a time.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.deciding import Decider, Terms
from vehicles.diagnosis.fault_model import Effort, Specialist
from vehicles.diagnosis.inference import Reasoner
from vehicles.diagnosis.ranking import Weighing

if TYPE_CHECKING:
    from collections.abc import Mapping

    from vehicles.diagnosis.fault_model import FaultModel

OUTCOMES = ("no", "yes")
Seen = tuple[tuple[str, str], ...]
TERMS = Terms(rate=0, setups={}, margin=0)


def tiny_model(seed: int, faults: int = 5, checks: int = 6) -> FaultModel:
    """Return a random problem of one cause with imperfect checks; money only."""
    chance = np.random.default_rng(seed)
    weights = chance.dirichlet(np.ones(faults))
    causes = [
        a_fault(
            f"f{i}",
            float(weights[i]),
            look=Effort(cents=int(chance.integers(2000, 9000))),
            repair=Effort(cents=int(chance.integers(0, 9000))),
        )
        for i in range(faults)
    ]
    rows = chance.beta(0.4, 0.4, (checks, faults)) * 0.9 + 0.05
    asked = [
        a_check(
            f"c{i}",
            given={f"f{j}": (1 - row[j], row[j]) for j in range(faults)},
            effort=Effort(cents=int(chance.integers(100, 1500))),
        )
        for i, row in enumerate(rows.tolist())
    ]
    service = Specialist(
        title="Specialist", effort=Effort(cents=int(chance.integers(20000, 40000)))
    )
    return a_model(causes, asked, unlisted=0.0, specialist=service)


def with_looks(model: FaultModel) -> FaultModel:
    """Return the model with a sure look at each part as a check, for what was looked at in vain."""
    looks = [
        a_check(f"look-{one.code}", sound=(1.0, 0.0), given={one.code: (0.0, 1.0)})
        for one in model.faults
    ]
    return replace(model, checks=(*model.checks, *looks))


@dataclass(frozen=True)
class Tree:
    """All that can be done in a tiny problem."""

    model: FaultModel

    def joint(self, seen: Seen, gone: frozenset[str]) -> dict[str, float]:
        """Return how likely each cause is together with all that was seen."""
        found = {}
        for fault in self.model.faults:
            p = 0.0 if fault.code in gone else fault.weight
            for code, outcome in seen:
                p *= self.model.check(code).given[fault.code][OUTCOMES.index(outcome)]
            found[fault.code] = p
        return found

    def optimum(self) -> float:
        """Return the expected cents of the best tree of decisions."""

        @cache
        def best(seen: Seen, gone: frozenset[str]) -> float:
            joint = self.joint(seen, gone)
            whole = sum(joint.values())
            if whole <= 0:
                return 0.0
            ways = [whole * self.model.specialist.effort.cents]
            for fault in self.model.faults:
                if fault.code not in gone:
                    here = whole * fault.look.cents + joint[fault.code] * fault.repair.cents
                    ways.append(here + best(seen, gone | {fault.code}))
            for check in self.model.checks:
                if check.code not in dict(seen):
                    after = [
                        best(tuple(sorted((*seen, (check.code, outcome)))), gone)
                        for outcome in OUTCOMES
                    ]
                    ways.append(whole * check.effort.cents + sum(after))
            return min(ways)

        return best((), frozenset())

    def followed(self, steps: int) -> float:
        """Return the expected cents of doing what the advice says, each time again."""
        reasoner = Reasoner(with_looks(self.model))
        looks = {f"look-{fault.code}": fault for fault in self.model.faults}
        terms = replace(TERMS, skipped=frozenset(looks))

        def cost(seen: Mapping[str, str]) -> float:
            checks = tuple(sorted((c, o) for c, o in seen.items() if c not in looks))
            gone = frozenset(looks[code].code for code in seen if code in looks)
            joint = self.joint(checks, gone)
            whole = sum(joint.values())
            if whole <= 1e-15:
                return 0.0
            weighing = Weighing(Decider(reasoner, terms), seen)
            if steps > 1:
                weighing.look_ahead(None)
            code, _ = weighing.best(weighing.opened())
            if code:
                after = sum(cost({**seen, code: outcome}) for outcome in OUTCOMES)
                return whole * self.model.check(code).effort.cents + after
            order = weighing.now.plans.taken_of(0)
            if not order:
                return whole * self.model.specialist.effort.cents
            fault = self.model.faults[order[0]]
            here = whole * fault.look.cents + joint[fault.code] * fault.repair.cents
            return here + cost({**seen, f"look-{fault.code}": "no"})

        return cost({})
