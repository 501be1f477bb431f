"""What a search is tried with: somebody who stops it, and the rules that it may not break."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.planning.check import check_plan
from program.planning.demand import bills
from program.planning.payments import pay
from program.planning.plan import Plan

if TYPE_CHECKING:
    from collections.abc import Collection

    from program.planning.plan import PlannedCase
    from program.planning.problem import PlanInput


class Impatient:
    """Stops when asked for the n-th time; remembers what it was told."""

    def __init__(self, patience: int) -> None:
        self.patience = patience
        self.told: list[tuple[int, str]] = []

    def tell(self, percent: int, doing: str) -> None:
        self.told.append((percent, doing))

    def stop(self) -> bool:
        self.patience -= 1
        return self.patience < 0


def broken(plan_input: PlanInput, cases: Collection[PlannedCase]) -> set[str]:
    """Return the rules that cases break which are not paid yet."""
    problems = check_plan(plan_input, Plan(cases=tuple(cases), stages=()))
    owed = bills(plan_input, cases)
    unpaid = {f"The bill of {item_id} is not paid exactly." for item_id in owed}
    assert pay(owed, plan_input.funds, reserve_percent=plan_input.reserve_percent) is not None
    found = {str(problem.sentence) for problem in problems} - unpaid
    return {sentence for sentence in found if "has to stay" not in sentence}
