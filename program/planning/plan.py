"""A plan: which cases go home in which week, what is done on each, and what pays for it.

>>> Payment(fund_id="general", item_id="26-041/1", cents=24_30).cents
2430
>>> Stage(name=StageName.NEED, value=58, bound=61, proven=False).gap
3
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shared.problems import Problem


class StageName(StrEnum):
    """What a plan strives for, in this order: a later aim never costs an earlier one anything."""

    KEPT = "kept"  # solved only when the cases that must stay in don't all fit
    NEED = "need"
    SAFETY = "safety"
    CASH = "cash"
    CHANGES = "changes"
    EARLY = "early"
    MOVED = "moved"
    STAY = "stay"


@dataclass(frozen=True, kw_only=True)
class Stage:
    """What was reached for one aim, and the best that any plan could reach.

    Kept, need and safety are as high as possible, the others as low as possible.
    """

    name: StageName
    value: int
    bound: int
    proven: bool

    @property
    def gap(self) -> int:
        """How far the best possible may still be away; 0 when proven."""
        return abs(self.bound - self.value)


@dataclass(frozen=True, kw_only=True)
class Payment:
    """One fund's share of one item's bill, in cents."""

    fund_id: str
    item_id: str
    cents: int


@dataclass(frozen=True, kw_only=True)
class PartSource:
    """Where one part comes from: a supply, or the shop when `supply_id` is None."""

    need_id: str
    supply_id: str | None
    cents: int  # the price when it is bought, else 0


@dataclass(frozen=True, kw_only=True)
class PlannedCase:
    """One case that goes home. Weeks are places in `PlanInput.weeks`, counted from 0."""

    case_id: str
    start_week: int
    home_week: int
    item_ids: tuple[str, ...]
    parts: tuple[PartSource, ...] = ()
    payments: tuple[Payment, ...] = ()
    uses: Mapping[tuple[int, str], int] = field(default_factory=dict)  # (week, resource) -> amount

    @property
    def cash_cents(self) -> int:
        """What this plan newly pays for the case."""
        return sum(payment.cents for payment in self.payments)

    def used(self, resource: str) -> int:
        """How much of a resource the case takes over all weeks."""
        return sum(amount for (_, name), amount in self.uses.items() if name == resource)


@dataclass(frozen=True, kw_only=True)
class Plan:
    """The cases that go home, what that reaches, and the proof.

    `problems` says what a person must know: a promised case that doesn't fit, for example. A plan
    whose search was stopped by a clock or a person is not `repeatable`: the same input may give
    another one.
    """

    cases: tuple[PlannedCase, ...]
    stages: tuple[Stage, ...]
    problems: tuple[Problem, ...] = ()
    repeatable: bool = True

    @property
    def need(self) -> Stage:
        """The first aim: need weight back on the road."""
        return next(stage for stage in self.stages if stage.name == StageName.NEED)

    @property
    def value(self) -> int:
        """The need weight of the cases that go home."""
        return self.need.value

    @property
    def bound(self) -> int:
        """The need weight that no plan can pass."""
        return self.need.bound

    @property
    def proven(self) -> bool:
        """Whether no other choice brings more need home."""
        return self.need.proven

    @property
    def case_ids(self) -> tuple[str, ...]:
        """The cases that go home, in order of id."""
        return tuple(case.case_id for case in self.cases)

    @property
    def cash_cents(self) -> int:
        """What this plan newly pays in all."""
        return sum(case.cash_cents for case in self.cases)

    def case(self, case_id: str) -> PlannedCase | None:
        """Return the planned case, or None when it waits."""
        return next((case for case in self.cases if case.case_id == case_id), None)

    def paid_by(self, fund_id: str) -> int:
        """Return the cents that one fund pays in this plan."""
        payments = (payment for case in self.cases for payment in case.payments)
        return sum(payment.cents for payment in payments if payment.fund_id == fund_id)

    def used(self, week: int, resource: str) -> int:
        """Return how much of a resource the plan takes in one week."""
        return sum(case.uses.get((week, resource), 0) for case in self.cases)


@dataclass(frozen=True, kw_only=True)
class Addition:
    """The smallest thing that brings a case in, with every chosen case kept.

    `cents` is money that may pay anything, the reserve for supplements included; `resources` is
    by week and name; `need_ids` are parts to be given, since they can't be bought.
    """

    cents: int = 0
    resources: Mapping[tuple[int, str], int]
    need_ids: tuple[str, ...] = ()

    def total(self, resource: str) -> int:
        """Return how much more of a resource is asked for over all weeks."""
        return sum(amount for (_, name), amount in self.resources.items() if name == resource)
