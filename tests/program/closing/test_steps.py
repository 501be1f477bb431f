"""What the books say to each line, and what stands against shutting a month."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.closing import steps
from program.closing.kinds import StepKind
from program.closing.steps import Looks, in_the_way
from shared.say import say

NOVEMBER = date(2026, 11, 1)
DECEMBER_1 = date(2026, 12, 1)


def told(look: steps.Look) -> tuple[Looks, str]:
    return look.looks, str(look.sentence)


@pytest.mark.parametrize(
    ("bills", "card", "expected"),
    [
        (0, 0, (Looks.RIGHT, "Nothing is owed, by the books.")),
        (-124_050, -99, (Looks.RIGHT, "Owed: $1,240.50 of bills, $0.99 on the card.")),
        (500, -99, (Looks.WRONG, "More was paid than was owed: $5.00.")),
    ],
)
def test_payables(bills: int, card: int, expected: tuple[Looks, str]) -> None:
    look = steps.look_at_payables(bills, card)
    assert told(look) == expected
    assert look.accounts == (("2010", bills), ("2020", card))


@pytest.mark.parametrize(
    ("cents", "expected"),
    [
        (0, (Looks.RIGHT, "No core deposit is out.")),
        (2200, (Looks.RIGHT, "$22.00 of core deposits should come back.")),
        (
            -2200,
            (Looks.WRONG, "Core deposits stand at −$22.00: more came back than was paid."),
        ),
    ],
)
def test_cores(cents: int, expected: tuple[Looks, str]) -> None:
    assert told(steps.look_at_cores(cents)) == expected


def test_the_shelf_is_compared_by_hand_with_what_the_books_hold() -> None:
    look = steps.look_at_shelf(12_00, 3_50)
    compare = "Compare a count on paper with the books: nobody keeps the shelf here yet."
    assert told(look) == (Looks.NOTHING, compare)
    assert look.accounts == (("1210", 12_00), ("1220", 3_50))
    assert steps.look_at_shelf(12_00, -1).looks is Looks.WRONG


def test_claims() -> None:
    late = say("Claim for October 2026 of the commuter grant.")
    look = steps.look_at_claims([late])
    assert (told(look), look.details) == ((Looks.WRONG, "Due and not sent: 1."), (late,))
    assert told(steps.look_at_claims([])) == (Looks.RIGHT, "No claim or report is due.")


def test_releases_name_the_fund_and_the_way_it_is_out() -> None:
    look = steps.look_at_releases({"winter collection": -500, "Pruitt gift": 31_800})
    assert told(look) == (Looks.WRONG, "Spending and releases differ in funds: 2.")
    assert [str(one) for one in look.details] == [
        "Pruitt gift: $318.00 spent and not released.",
        "winter collection: $5.00 released and not spent.",
    ]
    assert steps.look_at_releases({}).looks is Looks.RIGHT


def test_accruals_are_a_persons_to_judge_also_when_none_is_missed() -> None:
    assert steps.look_at_accruals([]).looks is Looks.PERSON
    look = steps.look_at_accruals(["6070 Shop rent and power", "7020 Insurance"])
    assert told(look) == (
        Looks.WRONG,
        (
            "Booked the month before, and not in this one: 6070 Shop rent and power and "
            "7020 Insurance."
        ),
    )


def test_the_bank_looks_right_when_each_account_is_reconciled() -> None:
    accounts = [("1010", 100_00)]
    assert steps.look_at_bank(accounts, []).looks is Looks.RIGHT
    open_ = [say("1010 Checking account has not been reconciled yet.")]
    look = steps.look_at_bank(accounts, open_)
    assert told(look) == (Looks.WRONG, "Not reconciled to the last day: 1.")
    assert (look.details, look.accounts) == (tuple(open_), (("1010", 100_00),))
    assert steps.look_at_bank([], []).looks is Looks.NOTHING


def test_a_month_may_be_shut_when_it_is_over_and_all_is_ticked() -> None:
    assert in_the_way(month=NOVEMBER, today=DECEMBER_1) == []


def test_what_stands_against_shutting_is_said_all_at_once() -> None:
    problems = in_the_way(
        month=NOVEMBER,
        today=DECEMBER_1 - timedelta(days=1),
        ticked=[StepKind.BANK, StepKind.CLAIMS, StepKind.RELEASES, StepKind.ACCRUALS],
        open_before=[date(2026, 10, 1), date(2026, 9, 1)],
    )
    assert [str(one.sentence) for one in problems] == [
        "November 2026 is not over: its last day is Monday, November 30.",
        "Earlier months are open: September 2026 and October 2026.",
        "Not ticked: bills and card to pay, core deposits and shelf count.",
    ]


@given(st.sets(st.sampled_from(StepKind)), st.dates(date(2026, 11, 1), date(2027, 1, 31)))
def test_a_month_is_shut_by_all_ticks_after_its_last_day_and_by_nothing_less(
    ticked: set[StepKind], today: date
) -> None:
    free = not in_the_way(month=NOVEMBER, today=today, ticked=ticked)
    assert free == (today >= DECEMBER_1 and ticked == set(StepKind))


def test_each_line_has_a_title_and_a_question() -> None:
    assert [*steps.TITLES] == [*steps.ASKED] == [*StepKind]
    assert all(question.endswith("?") for question in steps.ASKED.values())


def test_states_are_written_in_words() -> None:
    assert [state.label for state in steps.MonthState] == [
        "shut",
        "ready to shut",
        "open",
        "not over",
        "nothing booked",
    ]
