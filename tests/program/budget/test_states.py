from __future__ import annotations

from program.budget.states import Start
from shared.choices import choices_of


def test_a_year_is_begun_from_a_budget_or_from_the_ledger() -> None:
    assert choices_of(Start) == [
        ("budget", "The budget of that year"),
        ("actual", "What happened that year"),
    ]
    assert [start.noun for start in Start] == ["the budget", "the ledger"]
