"""What looking further is worth: the cost of a check, and what its outcomes save.

Now, the car is repaired by the best sequence for what is believed (`sequence`). After an outcome
another sequence may be the best one. A check is worth what it lowers the expected cost of repair
(ECR) by, less what it costs: own minutes and dollars, the minutes of what has to be true first
and isn't yet, and what it breaks on a car that has a certain fault. What the root brought about
is repaired in any case, so that part of the bill changes no decision and is left out.

Source: Heckerman, Breese and Rommelse 1995 (one step ahead).

>>> Terms(rate=60_00, setups={}).margin
100
>>> Terms(rate=60_00, setups={}).done
frozenset()
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from vehicles.diagnosis.belief import Branches
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.sequence import Bill, Floats, Ints, Plans, plan_rows

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from vehicles.diagnosis.fault_model import After, Check
    from vehicles.diagnosis.inference import Reasoner
    from vehicles.diagnosis.setups import Setup

#: A check that saves no more than this, in cents, is not worth doing (algorithm notes: a dollar).
MARGIN: Final = 100


@dataclass(frozen=True, kw_only=True)
class Terms:
    """What holds in the shop: cents an hour, setups and those already true, checks left out."""

    rate: int
    setups: Mapping[str, Setup]
    done: frozenset[str] = frozenset()
    skipped: frozenset[str] = frozenset()
    margin: int = MARGIN


@dataclass(frozen=True, kw_only=True, eq=False)
class Rows:
    """States of belief, one a row, each with its plan: cents and minutes it may take on average."""

    p: Floats
    present: Floats
    root: Floats
    unlisted: Floats
    plans: Plans
    cost: Floats
    minutes: Floats


@dataclass(frozen=True, kw_only=True, eq=False)
class Step:
    """C checks and what their outcomes lead to. `owner` (R,) is the check's place for each row.

    `cost` (cents) and `minutes` are those of the check with its setups, `damage` is part of the
    cost; `total` and `total_minutes` add the plan after the outcome, on average.
    """

    checks: tuple[str, ...]
    rows: Rows
    owner: Ints
    cost: Floats
    minutes: Floats
    damage: Floats
    total: Floats
    total_minutes: Floats
    bits: Floats

    def rows_of(self, check: str) -> Ints:
        """Return the rows of one check, in the order of its outcomes."""
        return np.flatnonzero(self.owner == self.checks.index(check))


class Decider:
    """A model and the terms of the shop, made ready to weigh checks."""

    def __init__(self, reasoner: Reasoner, terms: Terms) -> None:
        self.reasoner, self.terms, self.model = reasoner, terms, reasoner.model
        self.bill = Bill.of(self.model, terms.rate)
        self.minutes = Bill.minutes_of(self.model)
        self.several = self.model.causes is Causes.SEVERAL
        self._faults = {fault.code: place for place, fault in enumerate(self.model.faults)}
        self.checks = {check.code: check for check in self.model.checks}
        self._damages = {code: self._damage_row(check) for code, check in self.checks.items()}

    def now(self, observed: Mapping[str, str]) -> Rows:
        """Return what is believed after `observed` as a single row."""
        belief = self.reasoner.believe(observed)
        present, root = (
            np.array([[chances[fault.code] for fault in self.model.faults]])
            for chances in (belief.present, belief.root)
        )
        return self._rows(np.ones(1), present, root, np.array([belief.unlisted]))

    def remaining(self, observed: Mapping[str, str]) -> list[str]:
        """Return the checks that have no outcome yet and were not left out."""
        left_out = observed.keys() | self.terms.skipped
        return [code for code in self.checks if code not in left_out]

    def barred(self, code: str, observed: Mapping[str, str], present: Floats) -> tuple[str, ...]:
        """Return why a check must not be done now: danger, or seen otherwise than it needs."""
        check = self.checks[code]
        dangers = [
            bar.because
            for bar in check.bars
            if observed.get(bar.check) in bar.outcomes
            or (bar.fault and present[self._faults[bar.fault]] >= bar.at)
        ]
        missing = [
            after.because
            for after in check.after
            if after.check in observed and observed[after.check] not in after.outcomes
        ]
        return (*dangers, *missing)

    def first(self, code: str, observed: Mapping[str, str]) -> tuple[After, ...]:
        """Return which checks have to be done before this one means anything."""
        after = self.checks[code].after
        return tuple(one for one in after if one.check not in observed)

    def may(
        self, codes: Iterable[str], observed: Mapping[str, str], present: Floats
    ) -> tuple[str, ...]:
        """Return those of the checks that can be done now."""
        return tuple(
            code
            for code in codes
            if not self.barred(code, observed, present) and not self.first(code, observed)
        )

    def missing_setups(self, code: str, extra: frozenset[str] = frozenset()) -> tuple[str, ...]:
        """Return what has to be made true for a check and is not yet, nor in `extra`."""
        done = self.terms.done | extra
        return tuple(setup for setup in self.checks[code].setups if setup not in done)

    def step(
        self,
        observed: Mapping[str, str],
        now: Rows,
        checks: Sequence[str],
        *,
        at: int = 0,
        extra: frozenset[str] = frozenset(),
    ) -> Step:
        """Return what each of `checks` would change; the state before is row `at` of `now`.

        `extra` are setups that are true besides those of the terms.
        """
        found = self.reasoner.branches(observed, checks)
        branches = [found[code] for code in checks]
        owner = np.repeat(
            np.arange(len(checks)), np.array([len(one.p) for one in branches], dtype=np.intp)
        )
        rows = self._stacked(branches)
        minutes = np.array([float(self._minutes(code, extra)) for code in checks])
        damage = np.array([float(self._damages[code] @ now.present[at]) for code in checks])
        own = np.array([float(self.checks[code].effort.cents) for code in checks])
        cost = minutes * self.terms.rate / 60 + own + damage

        def mean(values: Floats) -> Floats:
            return np.bincount(owner, rows.p * values, len(checks)).astype(np.float64)

        doubt = self._doubt(now)[at] - mean(self._doubt(rows))
        return Step(
            checks=tuple(checks),
            rows=rows,
            owner=owner,
            cost=cost,
            minutes=minutes,
            damage=damage,
            total=cost + mean(rows.cost),
            total_minutes=minutes + mean(rows.minutes),
            bits=np.clip(doubt, 0.0, mean(-_log2(rows.p))),
        )

    def _minutes(self, code: str, extra: frozenset[str]) -> int:
        setups = self.missing_setups(code, extra)
        first = sum(self.terms.setups[setup].minutes for setup in setups)
        return self.checks[code].effort.minutes + first

    def _damage_row(self, check: Check) -> Floats:
        row = np.zeros(len(self._faults))
        for damage in check.damages:
            row[self._faults[damage.fault]] += damage.cents
        return row

    def _stacked(self, branches: Sequence[Branches]) -> Rows:
        each = np.zeros((0, len(self.model.faults)))
        none = Branches(p=np.zeros(0), present=each, root=each, unlisted=np.zeros(0))
        p, present, root, unlisted = (
            np.concatenate([getattr(one, name) for one in (none, *branches)])
            for name in ("p", "present", "root", "unlisted")
        )
        return self._rows(p, present, root, unlisted)

    def _rows(self, p: Floats, present: Floats, root: Floats, unlisted: Floats) -> Rows:
        if self.several:
            plans = plan_rows(present, self.bill, unlisted=unlisted)
        else:
            plans = plan_rows(root, self.bill)
        return Rows(
            p=p,
            present=present,
            root=root,
            unlisted=unlisted,
            plans=plans,
            cost=plans.costs(self.bill),
            minutes=plans.costs(self.minutes),
        )

    def _doubt(self, rows: Rows) -> Floats:
        """Return how many bits are unknown in each row: which root; or each fault by itself."""
        chances = np.clip(rows.present if self.several else rows.root, 0.0, 1.0)
        rest = 1.0 - chances if self.several else rows.unlisted[:, np.newaxis]
        every = np.concatenate([chances, rest], axis=1)
        bits: Floats = -(every * _log2(every)).sum(axis=1)
        return bits


def _log2(p: Floats) -> Floats:
    """Return log2, and 0 where p is 0, so that p log2 p is right."""
    found: Floats = np.log2(np.where(p > 0, p, 1.0))
    return found
