"""In which order to look at parts and repair them, and when to hand over to the specialist.

An action looks at a part and, if the part is the cause, repairs it. Exactly one action helps, or
none, and the specialist always does. Before an action the earlier ones have failed, so
the expected cost of repair (ECR) of an order is the sum of
(1 - sum of earlier p) x look + p x repair, and the specialist for what is left.

The best order of any set is by p / look, falling. Which set is not the first few that each pay by
themselves: two looks can pay where one does not, and an action dearer than the specialist may
stand in front. So: leave out what costs as much as the specialist, take the best prefix, then add
or drop single actions until nothing improves.

With several faults at once the complaint stays until the last is repaired. The chance that
something is left is not in the marginals; it is fitted between faults that exclude each other and
faults that know nothing of each other, so that it agrees with the chance that any is present.

Source: Kadane and Simon 1977; Heckerman, Breese and Rommelse 1995 (Decision-theoretic
troubleshooting); Kalagnanam and Henrion 1990.

>>> belt = Action(code="belt", p=0.5, look=51, repair=0)
>>> pump = Action(code="pump", p=0.5, look=52, repair=0)
>>> expected_cost([belt], specialist=100), best_sequence([pump, belt], specialist=100).cost
(101.0, 77.0)
>>> [action.code for action in best_sequence([pump, belt], specialist=100).order]
['belt', 'pump']
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from vehicles.diagnosis.fault_model import FaultModel

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

#: So many actions with overlap are searched through: 2 to this power sets of them.
MOST_OVERLAPPING: Final = 12

# Ratios that differ by less than rounding stay in the order of the file.
_RATIO_DIGITS: Final = 9
# What a change of the plan has to save, so that rounding does not drive a circle.
_LEAST_GAIN: Final = 1e-9
# The fit of dependence: from excluding each other, in so many halvings.
_LEAST_THETA: Final = 1e-6
_HALVINGS: Final = 30


@dataclass(frozen=True, kw_only=True)
class Action:
    """Look at a part, repair it if it is the cause. `p`: chance that it is. One unit of cost."""

    code: str
    p: float
    look: float
    repair: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Planned:
    """An order of actions (the specialist follows where there is one) and its expected cost."""

    order: tuple[Action, ...]
    cost: float


def expected_cost(order: Sequence[Action], *, specialist: float | None = None) -> float:
    """Return the expected cost of taking these actions in this order until one helps.

    Without a specialist what is left at the end costs nothing.

    Raises:
        ValueError: the chances add up to more than one.
    """
    left, cost = 1.0, 0.0
    for action in order:
        cost += left * action.look + action.p * action.repair
        left -= action.p
    if left < -_LEAST_GAIN:
        raise ValueError("The chances of the actions add up to more than one.")
    return cost + max(left, 0.0) * (specialist or 0.0)


def ratio_order(actions: Sequence[Action]) -> tuple[Action, ...]:
    """Return the actions by p / look, falling; equal ones stay as they stand."""
    p, look, _ = _columns(actions)
    return tuple(actions[place] for place in ranks(p, look))


def best_sequence(actions: Sequence[Action], *, specialist: float | None = None) -> Planned:
    """Return the cheapest order: of all actions, or, with a specialist, of those that pay.

    Raises:
        ValueError: the chances add up to more than one.
    """
    if specialist is None or not actions:
        order = ratio_order(actions) if actions else ()
    else:
        p, look, repair = _columns(actions)
        bill = Bill(look=look, repair=repair, specialist=specialist)
        plans = plan_rows(p[np.newaxis, :], bill)
        order = tuple(actions[place] for place in plans.taken_of(0))
    return Planned(order=order, cost=expected_cost(order, specialist=specialist))


def best_overlapping(
    faults: Mapping[str, float],
    cures: Mapping[str, Sequence[str]],
    costs: Mapping[str, float],
    *,
    specialist: float | None = None,
) -> tuple[tuple[str, ...], float]:
    """Return the cheapest order of actions of which each may cure several faults, and its cost.

    Exactly one fault is present. Every set of actions is searched, since p / cost is not the best
    order here (Jensen et al. 2001); equal orders: the one whose actions stand first.

    Raises:
        ValueError: more actions than `MOST_OVERLAPPING`.
    """
    names = list(cures)
    if len(names) > MOST_OVERLAPPING:
        raise ValueError(f"More than {MOST_OVERLAPPING} actions that overlap can’t be searched.")
    best: dict[int, tuple[float, tuple[str, ...]]] = {}
    for done in range(2 ** len(names) - 1, -1, -1):
        cured = {fault for i, name in enumerate(names) if done >> i & 1 for fault in cures[name]}
        left = sum(p for fault, p in faults.items() if fault not in cured)
        best[done] = (left * specialist, ()) if specialist is not None else (0.0, ())
        rest = [i for i in range(len(names)) if not done >> i & 1 and left > _LEAST_GAIN]
        ways = [(left * costs[names[i]] + best[done | 1 << i][0], i) for i in rest]
        if ways and (specialist is None or min(ways)[0] < best[done][0] - _LEAST_GAIN):
            cost, first = min(ways)
            best[done] = (cost, (names[first], *best[done | 1 << first][1]))
    return best[0][1], best[0][0]


@dataclass(frozen=True, kw_only=True)
class Bill:
    """What looking at and repairing each of F faults costs, and what the specialist does."""

    look: Floats
    repair: Floats
    specialist: float

    @classmethod
    def of(cls, model: FaultModel, rate: int) -> Bill:
        """Return the bill of a model in cents, at `rate` cents an hour; its minutes for rate 0."""
        return cls(
            look=np.array([fault.look.cost(rate) for fault in model.faults]),
            repair=np.array([fault.repair.cost(rate) for fault in model.faults]),
            specialist=model.specialist.effort.cost(rate),
        )

    @classmethod
    def minutes_of(cls, model: FaultModel) -> Bill:
        """Return the same in minutes of work."""
        return cls(
            look=np.array([float(fault.look.minutes) for fault in model.faults]),
            repair=np.array([float(fault.repair.minutes) for fault in model.faults]),
            specialist=float(model.specialist.effort.minutes),
        )


@dataclass(frozen=True, kw_only=True)
class Plans:
    """A plan for each of K states of belief: faults by p / look, and which of them are taken.

    `p`, `left` and `taken` stand in the order of `order` (K, F); `left` is the chance that the
    complaint is still there before each action, `rest` (K,) that it is at the end.
    """

    order: Ints
    taken: Flags
    p: Floats
    left: Floats
    rest: Floats

    def costs(self, bill: Bill) -> Floats:
        """Return the expected cost (K,) of the plans when they are paid by this bill."""
        steps = self.left * bill.look[self.order] + self.p * bill.repair[self.order]
        spent: Floats = (steps * self.taken).sum(axis=1)
        return spent + self.rest * bill.specialist

    def taken_of(self, row: int) -> list[int]:
        """Return the places of the faults that the plan of one row looks at, in their order."""
        return [int(place) for place in self.order[row][self.taken[row]]]


def plan_rows(p: Floats, bill: Bill, *, unlisted: Floats | None = None) -> Plans:
    """Return the plan for each row of `p` (K, F).

    With `unlisted` (K,) several faults may be present at once: then `p` are marginals and
    `unlisted` is the chance that none is; the plan is the best prefix, a heuristic. Without it the
    faults exclude each other, and whatever they leave of one is for the specialist.
    """
    order = ranks(p, bill.look)
    sorted_p = np.take_along_axis(p, order, axis=-1)
    look, repair = bill.look[order], bill.repair[order]
    usable = (repair < bill.specialist) & (sorted_p > 0)
    each = None if unlisted is None else _shares(sorted_p, unlisted)
    left, rest = _left(sorted_p, usable, unlisted, each)
    after = np.concatenate([left[:, 1:], rest[:, np.newaxis]], axis=1)
    steps = left * look + sorted_p * repair + (after - left) * bill.specialist
    totals = np.cumsum(np.where(usable, steps, 0.0), axis=1)
    ahead = np.concatenate([np.zeros((len(p), 1)), totals], axis=1)
    best = np.argmin(np.round(ahead, _RATIO_DIGITS), axis=1)
    taken = usable & (np.arange(p.shape[1]) < best[:, np.newaxis])
    if unlisted is None:
        _improve(taken, sorted_p, look, bill.specialist - repair)
    left, rest = _left(sorted_p, taken, unlisted, each)
    return Plans(order=order, taken=taken, p=sorted_p, left=left, rest=rest)


def ranks(p: Floats, look: Floats) -> Ints:
    """Return the places by p / look, falling, along the last axis; ties as they stand."""
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(p > 0, np.log(p) - np.log(look), -np.inf)
    found: Ints = np.argsort(-np.round(ratio, _RATIO_DIGITS), axis=-1, kind="stable")
    return found


def _columns(actions: Sequence[Action]) -> tuple[Floats, Floats, Floats]:
    rows = [(action.p, action.look, action.repair) for action in actions]
    p, look, repair = np.array(rows, dtype=np.float64).reshape(-1, 3).T
    return p, look, repair


def _left(
    p: Floats, taken: Flags, unlisted: Floats | None, each: Floats | None
) -> tuple[Floats, Floats]:
    """Return the chance that the complaint is there before each place, and at the end."""
    if unlisted is None or each is None:
        gone = np.cumsum(p * taken, axis=1)
        before = np.clip(1.0 - gone + p * taken, 0.0, 1.0)
        return before, np.clip(1.0 - gone[:, -1], 0.0, 1.0)
    whole = np.minimum(each.sum(axis=1, keepdims=True), -(_LEAST_GAIN**2))
    open_ = whole - np.cumsum(each * taken, axis=1)
    share = np.expm1(np.minimum(open_, 0.0)) / np.expm1(whole)
    after = unlisted[:, np.newaxis] + (1.0 - unlisted[:, np.newaxis]) * share
    before = np.concatenate([np.ones((len(p), 1)), after[:, :-1]], axis=1)
    return before, after[:, -1]


def _shares(p: Floats, unlisted: Floats) -> Floats:
    """Return the log of the chance that a fault is absent, with the dependence fitted."""
    shares: Floats = np.log1p(-np.minimum(_theta(p, unlisted)[:, np.newaxis] * p, 1 - _LEAST_GAIN))
    return shares


def _theta(p: Floats, unlisted: Floats) -> Floats:
    """Return how far from excluding each other (0) the faults are; 1 is independent.

    With t the chance that any of a set is present is (1 - prod(1 - t p)) / t. Found so that for
    all faults this is 1 - unlisted.
    """
    low: Floats = np.full(len(p), _LEAST_THETA)
    high: Floats = 1.0 / np.maximum(p.max(axis=1), _LEAST_THETA)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        lifted = np.minimum(middle[:, np.newaxis] * p, 1 - _LEAST_GAIN)
        too_many = -np.expm1(np.log1p(-lifted).sum(axis=1)) / middle > 1.0 - unlisted
        low, high = np.where(too_many, middle, low), np.where(too_many, high, middle)
    return (low + high) / 2


def _improve(taken: Flags, p: Floats, look: Floats, gain: Floats) -> None:
    """Add or drop single actions in each row of `taken`, in place, until no change saves.

    Adding an action costs its look when reached, and saves p x gain and p x every later look.
    """
    rows = np.arange(len(p))
    while len(rows):
        mask, chance = taken[rows], p[rows]
        used, looks = chance * mask, look[rows] * mask
        left = 1.0 - np.cumsum(used, axis=1) + used
        later = looks.sum(axis=1, keepdims=True) - np.cumsum(looks, axis=1)
        adding = left * look[rows] - chance * (gain[rows] + later)
        change = np.where(mask, -adding, adding)
        place = np.argmin(change, axis=1)
        saves = change[np.arange(len(rows)), place] < -_LEAST_GAIN
        rows, place = rows[saves], place[saves]
        taken[rows, place] ^= True
