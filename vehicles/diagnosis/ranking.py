"""Checks in the order of what they save, one step ahead or two, and what is opened by doing one.

Two steps ahead, a check is weighed with the best single check after each of its outcomes. A setup
that several checks share, and a check without which another means nothing, may not pay by itself;
such a check is weighed with those that it opens, also when looking one step ahead.

Source: Heckerman, Breese and Rommelse 1995; cost clusters: Ottosen and Jensen (arXiv 1203.3502).

>>> Saving(total=500.4, minutes=6, cents=100).is_worth(100)
True
>>> Saving(total=60, minutes=2, cents=0).is_worth(100)
False
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from vehicles.diagnosis.deciding import Decider

# A setup is weighed with so many of its checks done first.
_FIRST_IN_CLUSTER: Final = 2
_ROUNDING: Final = 6


@dataclass(frozen=True, kw_only=True)
class Saving:
    """Saved on average: cents of everything; and apart, minutes of work and cents paid."""

    total: float
    minutes: float
    cents: float

    def is_worth(self, margin: int) -> bool:
        """Return whether it is more than `margin` cents."""
        return self.total > margin


@dataclass(frozen=True, kw_only=True)
class Followed:
    """A check with what comes after each outcome: another check, or "" to stop and repair."""

    total: float
    minutes: float
    then: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Opened:
    """A check with others that it opens: they share `setup`, or mean nothing without it."""

    check: str
    opens: tuple[str, ...]
    setup: str
    saving: Saving


class Weighing:
    """All remaining checks in one state of a car, weighed."""

    def __init__(self, decider: Decider, observed: Mapping[str, str]) -> None:
        self.decider, self.observed = decider, observed
        self.now = decider.now(observed)
        present = self.now.present[0]
        self.codes = decider.remaining(observed)
        self.step = decider.step(observed, self.now, self.codes)
        self.barred = {code: decider.barred(code, observed, present) for code in self.codes}
        self.first = {code: decider.first(code, observed) for code in self.codes}
        self.followed: dict[str, Followed] = {}

    def look_ahead(self, beam: int | None) -> None:
        """Weigh the `beam` best checks, or all, with the best check after each outcome."""
        for code in self.ranked()[:beam]:
            self.followed[code] = self.follow(code, self.codes)

    def ranked(self, *, can_be_done: bool = True) -> list[str]:
        """Return the checks that can be done, or those that can't, the largest saving first.

        By whole cents, then by bits, then as they stand in the model.
        """

        def key(code: str) -> tuple[int, float]:
            bits = float(self.step.bits[self._place(code)])
            return -round(self.saving(code).total), -round(bits, _ROUNDING)

        def is_open(code: str) -> bool:
            return not self.barred[code] and not self.first[code]

        return sorted((code for code in self.codes if is_open(code) is can_be_done), key=key)

    def saving(self, code: str) -> Saving:
        """Return what a check saves, two steps ahead where that was looked at."""
        followed = self.followed.get(code)
        if followed:
            return self._saved(followed.total, followed.minutes)
        place = self._place(code)
        return self._saved(float(self.step.total[place]), float(self.step.total_minutes[place]))

    def opened(self) -> tuple[Opened, ...]:
        """Return what pays more for what it opens, the largest saving first, ties as they stand."""
        found = [
            Opened(check=first, opens=others, setup=setup, saving=self._opening(first, others))
            for setup, first, others in self._bundles()
        ]
        margin = self.decider.terms.margin
        paying = [one for one in found if one.saving.is_worth(margin) and self._adds(one)]
        return tuple(sorted(paying, key=lambda one: -round(one.saving.total)))

    def best(self, opened: Sequence[Opened]) -> tuple[str, Saving | None]:
        """Return the check to do next with its saving; "" when none is worth it.

        An opening counts only when no check by itself is worth it: its saving looks a step further
        than that of a single check, and would win over a question of one minute.
        """
        found = [(code, self.saving(code)) for code in self.ranked()[:1]]
        found += [(one.check, one.saving) for one in opened[:1]]
        for code, saving in found:
            if saving.is_worth(self.decider.terms.margin):
                return code, saving
        return "", None

    def follow(self, check: str, others: Iterable[str]) -> Followed:
        """Return what a check leads to when one of `others` may be done after each outcome."""
        place = self._place(check)
        total, minutes = float(self.step.cost[place]), float(self.step.minutes[place])
        then: list[str] = []
        rest = [code for code in others if code != check]
        outcomes = self.decider.checks[check].outcomes
        for outcome, row in zip(outcomes, self.step.rows_of(check), strict=True):
            seen = {**self.observed, check: outcome.code}
            best = self._after(seen, check, int(row), rest)
            total += float(self.step.rows.p[row]) * best.total
            minutes += float(self.step.rows.p[row]) * best.minutes
            then += best.then
        return Followed(total=total, minutes=minutes, then=tuple(then))

    def _after(
        self, seen: Mapping[str, str], check: str, row: int, others: Sequence[str]
    ) -> Followed:
        """Return the best single check in the state of a row, or to stop and repair."""
        rows, decider = self.step.rows, self.decider
        stop = Followed(total=float(rows.cost[row]), minutes=float(rows.minutes[row]), then=("",))
        codes = decider.may(others, seen, rows.present[row]) if rows.p[row] > 0 else ()
        if not codes:
            return stop
        extra = frozenset(decider.checks[check].setups)
        step = decider.step(seen, rows, codes, at=row, extra=extra)
        place = int(np.argmin(np.round(step.total, _ROUNDING)))
        total, minutes = float(step.total[place]), float(step.total_minutes[place])
        if stop.total - total <= decider.terms.margin:
            return stop
        return Followed(total=total, minutes=minutes, then=(codes[place],))

    def _bundles(self) -> Iterator[tuple[str, str, tuple[str, ...]]]:
        """Yield setup, first check and the checks that it opens."""
        ranked, terms = self.ranked(), self.decider.terms
        for setup in terms.setups:
            sharing = [code for code in ranked if setup in self.decider.missing_setups(code)]
            costs = terms.setups[setup].minutes * terms.rate / 60
            if len(sharing) > 1 and costs > terms.margin:
                for first in sharing[:_FIRST_IN_CLUSTER]:
                    yield setup, first, tuple(code for code in sharing if code != first)
        for first in ranked:
            waiting = tuple(
                code
                for code, after in self.first.items()
                if {one.check for one in after} == {first} and not self.barred[code]
            )
            if waiting:
                yield "", first, waiting

    def _adds(self, opened: Opened) -> bool:
        return round(opened.saving.total) > round(self.saving(opened.check).total)

    def _opening(self, check: str, others: Sequence[str]) -> Saving:
        followed = self.follow(check, others)
        return self._saved(followed.total, followed.minutes)

    def _saved(self, total: float, minutes: float) -> Saving:
        saved = float(self.now.cost[0]) - total
        spared = float(self.now.minutes[0]) - minutes
        return Saving(
            total=saved, minutes=spared, cents=saved - spared * self.decider.terms.rate / 60
        )

    def _place(self, code: str) -> int:
        return self.codes.index(code)
