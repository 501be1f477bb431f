"""Cases side by side in columns, and the sweep through the faults that adds them all up.

Findings are explained by faults that take turns. A finding has an axis of length two from the turn
of the first fault that may explain it to that of the last: the mass that has it bare, and the mass
that has it explained, which alone is kept in the end. So 2^open numbers a column are kept, not
2^findings. The way back gives what is due to each fault. Terms are only added, never taken away.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, TypeAlias

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from vehicles.diagnosis.belief import Array

    Index: TypeAlias = tuple[int | slice, ...]

#: Findings that are open at once; each doubles the work.
MOST_OPEN: Final = 18
#: Numbers kept at once, eight bytes each.
ROOM: Final = 1 << 22


class TooMuch(ValueError):  # noqa: N818 - it says what is too much
    """The model or what was observed is more than this engine computes."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Step:
    """One fault's turn, while each open finding has an axis of length two: bare, explained.

    `opens` are the findings whose axes come first from now on. `moves` have the index of the bare
    mass of a finding, of the explained, and the strength with which the fault explains it. `keeps`
    is the index of the mass that has explained the findings that close.
    """

    fault: int
    opens: tuple[int, ...]
    moves: tuple[tuple[Index, Index, float], ...]
    keeps: Index
    open_now: int


@dataclass(frozen=True, kw_only=True, eq=False)
class Columns:
    """Cases computed side by side, B of them.

    `prior` and `spares`, (F, B): that a fault is present, and the factor when it is.
    `unexplained`, (M, B): that nothing but the faults that take turns explains a finding.
    `weight`, (B,): what the case is worth by itself.
    """

    prior: Array
    spares: Array
    unexplained: Array
    weight: Array

    def part(self, which: slice) -> Columns:
        """Return some of the columns."""
        return Columns(
            prior=self.prior[:, which],
            spares=self.spares[:, which],
            unexplained=self.unexplained[:, which],
            weight=self.weight[which],
        )


def plan(strength: Array, turns: Sequence[int]) -> list[Step]:
    """Return the turns of the faults that explain a finding, so that few are open at once.

    The finding that opens the fewest others is closed first. `strength` is (F, M).
    """
    findings = range(strength.shape[1])
    needs = [{f for f in turns if strength[f, c] > 0} for c in findings]
    acts = {f: [c for c in findings if f in needs[c]] for f in turns}
    left = [c for c in findings if needs[c]]
    axes: list[int] = []
    steps: list[Step] = []
    while left:
        target = min(left, key=lambda c: (len({*axes}.union(*(acts[f] for f in needs[c]))), c))
        for fault in sorted(needs[target]):
            opens = [c for c in acts[fault] if c not in axes]
            axes = [*opens, *axes]
            closes = [c for c in acts[fault] if needs[c] == {fault}]
            steps.append(_step(fault, opens, axes, closes, strength[fault]))
            axes = [c for c in axes if c not in closes]
            left = [c for c in left if c not in closes]
            for c in acts[fault]:
                needs[c].discard(fault)
    return steps


def _step(
    fault: int, opens: Sequence[int], axes: Sequence[int], closes: Sequence[int], strength: Array
) -> Step:
    before = {c: (slice(None),) * place for place, c in enumerate(axes)}
    return Step(
        fault=fault,
        opens=tuple(opens),
        moves=tuple(
            ((*at, 0), (*at, 1), float(strength[c])) for c, at in before.items() if strength[c] > 0
        ),
        keeps=tuple(1 if c in closes else slice(None) for c in axes),
        open_now=len(axes),
    )


def _forward(step: Step, alpha: Array, columns: Columns) -> tuple[Array, Array]:
    """Return the mass when the fault's turn comes, and after it."""
    for finding in reversed(step.opens):
        bare = columns.unexplained[finding]
        alpha = np.stack([alpha * bare, alpha * (1 - bare)])
    prior = columns.prior[step.fault]
    moved = alpha * (prior * columns.spares[step.fault])
    for bare_at, done_at, q in step.moves:
        moved[done_at] += q * moved[bare_at]
        moved[bare_at] *= 1 - q
    return alpha, alpha[step.keeps] * (1 - prior) + moved[step.keeps]


def _backward(step: Step, alpha: Array, beta: Array, columns: Columns) -> tuple[Array, Array]:
    """Return what mass before the turn is worth in the end, and P(fault, observed)."""
    before = np.zeros_like(alpha)
    before[step.keeps] = beta
    moved = before * (columns.prior[step.fault] * columns.spares[step.fault])
    for bare_at, done_at, q in step.moves:
        moved[bare_at] *= 1 - q
        moved[bare_at] += q * moved[done_at]
    present = (alpha * moved).reshape(-1, alpha.shape[-1]).sum(axis=0)
    beta = before * (1 - columns.prior[step.fault]) + moved
    for finding in step.opens:
        bare = columns.unexplained[finding]
        beta = beta[0] * bare + beta[1] * (1 - bare)
    return beta, present


@dataclass(frozen=True, kw_only=True, eq=False)
class Case:
    """All that a sweep needs, and what is left when the rest of the car explains everything."""

    steps: Sequence[Step]
    columns: Columns
    leak: Array

    def swept(self, *, backward: bool) -> tuple[Array, Array]:
        """Return what `sweep` does, a few columns at a time so that it fits into `ROOM`."""
        widest = max((step.open_now for step in self.steps), default=0)
        if widest > MOST_OPEN:
            raise TooMuch(f"{widest} findings hang together; at most {MOST_OPEN} are computed.")
        each = sum(2**step.open_now for step in self.steps) + 1
        size, columns = max(1, ROOM // each), len(self.columns.weight)
        parts = [
            sweep(self.steps, self.columns.part(slice(at, at + size)), backward=backward)
            for at in range(0, columns, size)
        ]
        return np.concatenate([p[0] for p in parts]), np.hstack([p[1] for p in parts])


def sweep(steps: Sequence[Step], columns: Columns, *, backward: bool) -> tuple[Array, Array]:
    """Return P(observed) (B,), and P(fault, observed) (F, B), which is zero unless `backward`."""
    busy = [step.fault for step in steps]
    taken = {c for step in steps for c in step.opens}
    waiting = [c for c in range(len(columns.unexplained)) if c not in taken]
    acting = columns.prior * columns.spares
    either = (1 - columns.prior) + acting
    either[busy] = 1.0
    weight = columns.weight * either.prod(axis=0)
    weight = weight * (1 - columns.unexplained[waiting]).prod(axis=0)
    alpha, kept = np.ones_like(weight), []
    for step in steps:
        before, alpha = _forward(step, alpha, columns)
        kept.append(before)
    total = weight * alpha
    if not backward:
        return total, np.zeros_like(acting)
    present = acting / np.where(either > 0, either, 1.0) * total
    beta = np.ones_like(weight)
    for step, before in zip(reversed(steps), reversed(kept), strict=True):
        beta, found = _backward(step, before, beta, columns)
        present[step.fault] = found * weight
    return total, present
