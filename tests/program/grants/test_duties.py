"""Where a grant stands on a day: what is claimed, due, owed back, and about to lapse."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.grants.duties import Book, Claimed, due, next_due, problems, standing
from program.grants.schedules import cycles
from tests.program.grants.awards import make_cost, make_terms

TODAY = date(2026, 11, 30)


def make_book(*costs: Any, claims: tuple[Claimed, ...] = (), **fields: Any) -> Book:
    terms = make_terms(**fields)
    spans = cycles("monthly", terms.begins_on, terms.ends_on, due_days=20)
    return Book(
        id=4,
        name="commuter grant",
        terms=terms,
        cycles=tuple(spans),
        allowed=costs,
        claims=claims,
    )


def claimed(cents: int, state: str = "sent", number: int = 1, month: int = 10) -> Claimed:
    last = 31 if month == 10 else 30
    return Claimed(
        id=number,
        number=number,
        from_on=date(2026, month, 1),
        until_on=date(2026, month, last),
        state=state,
        cents=cents,
        paid=cents if state == "paid" else 0,
    )


def sentences(book: Book, today: date = TODAY) -> list[str]:
    return [str(problem.sentence) for problem in problems(book, today)]


def test_at_risk_is_the_award_less_claimed_less_what_can_be_claimed() -> None:
    book = make_book(make_cost(cents=12_500), claims=(claimed(20_000, "paid"),), own_percent=20)
    at = standing(book)
    assert (at.claimed, at.paid, at.claimable, at.left, at.at_risk) == (
        *(20_000, 20_000, 10_000),
        *(30_000, 20_000),
    )


def test_a_withdrawn_claim_gives_its_part_of_the_award_back() -> None:
    assert standing(make_book(claims=(claimed(20_000, "withdrawn"),))).left == 50_000


def test_a_draft_holds_its_part_of_the_award() -> None:
    at = standing(make_book(make_cost(cents=45_000), claims=(claimed(20_000, "draft"),)))
    assert (at.drafted, at.claimable, at.at_risk) == (20_000, 30_000, 0)


@given(
    st.lists(st.integers(1, 80_000), max_size=8),
    st.lists(st.sampled_from(["draft", "sent", "paid", "withdrawn"]), max_size=3),
    st.integers(0, 99),
)
def test_claimed_and_claimable_are_never_more_than_the_award(
    costs: list[int], states: list[str], own: int
) -> None:
    rows = tuple(make_cost(n, cents) for n, cents in enumerate(costs))
    claims = tuple(claimed(15_000, state, n) for n, state in enumerate(states))
    at = standing(make_book(*rows, claims=claims, own_percent=own))
    assert at.claimed + at.drafted + at.claimable <= at.award
    assert at.at_risk == at.award - at.claimed - at.drafted - at.claimable >= 0


def test_a_claim_is_due_for_each_cycle_that_is_over_and_has_costs() -> None:
    book = make_book(make_cost(1), make_cost(2, 2_000, on=date(2026, 11, 2)))
    assert [
        (one.cycle.name, one.cents, str(one.due_on), one.report) for one in due(book, TODAY)
    ] == [
        ("October 2026", 10_000, "2026-11-20", False),
        ("November 2026", 2_000, "2026-12-20", False),
    ]
    assert [one.cycle.name for one in due(book, date(2026, 11, 29))] == ["October 2026"]


def test_costs_that_a_sent_claim_left_are_due_with_the_next_one() -> None:
    book = make_book(make_cost(1), claims=(claimed(3_000),))
    assert [(one.cycle.name, one.cents) for one in due(book, TODAY)] == [("November 2026", 10_000)]


def test_what_the_award_no_longer_holds_is_not_due() -> None:
    book = make_book(make_cost(1, 60_000), make_cost(2, 500, on=date(2026, 11, 2)))
    assert [one.cents for one in due(book, TODAY)] == [50_000]


def test_a_draft_is_due_until_it_is_sent() -> None:
    (one,) = due(make_book(claims=(claimed(3_000, "draft", 7),)), TODAY)
    assert (one.draft, one.cents) == (7, 3_000)


def test_a_report_is_due_though_nothing_was_spent() -> None:
    found = due(make_book(ahead=True), TODAY)
    assert [(one.what, one.cycle.name, one.cents) for one in found] == [
        ("Report", "October 2026", 0),
        ("Report", "November 2026", 0),
    ]


def test_next_due_is_what_is_owed_or_the_cycle_that_runs() -> None:
    owed = next_due(make_book(make_cost()), TODAY)
    running = next_due(make_book(), TODAY)
    assert owed is not None
    assert running is not None
    assert (owed.name, running.name) == ("October 2026", "December 2026")
    assert next_due(make_book(), date(2027, 1, 1)) is None


@pytest.mark.parametrize(
    ("today", "warns"),
    [
        (date(2026, 10, 31), False),
        (date(2026, 11, 1), True),
        (date(2026, 12, 31), True),
        (date(2027, 1, 20), True),
        (date(2027, 1, 21), False),
    ],
)
def test_what_lapses_is_said_from_sixty_days_before_until_the_last_claim_is_due(
    today: date, *, warns: bool
) -> None:
    assert bool(sentences(make_book(), today)) is warns


def test_the_warning_names_the_sum_and_the_day() -> None:
    book = make_book(claims=(claimed(20_000),))
    assert sentences(book) == [
        "The commuter grant will lapse $300.00 on Thursday, December 31, 2026, in 31 days."
    ]


def test_an_award_that_is_spent_does_not_lapse() -> None:
    assert sentences(make_book(claims=(claimed(50_000),)), date(2026, 12, 30)) == []


def test_a_late_claim_is_a_blocker_and_one_due_soon_a_warning() -> None:
    costs = [make_cost(1, 30_000), make_cost(2, 20_000, on=date(2026, 11, 9))]
    found = problems(make_book(*costs), date(2026, 12, 10))
    late = "Claim for October 2026 of the commuter grant was due on Friday, November 20, 2026"
    soon = "Claim for November 2026 of the commuter grant is due on Sunday, December 20, 2026"
    assert [(str(one.sentence), one.level.value) for one in found] == [
        (f"{late}: $300.00.", "blocker"),
        (f"{soon}: $200.00.", "warning"),
    ]


def test_what_is_owed_back_is_said_as_the_funders_share() -> None:
    owed = make_cost(5, -10_000, reverses=1)
    book = make_book(owed, claims=(claimed(50_000),), own_percent=20)
    assert standing(book).owed_back == 8_000
    assert sentences(book) == [
        "$80.00 of the commuter grant was claimed for costs reversed since: it is owed back."
    ]
