"""The open work of a program and its likely cost."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from program.funds.costing import open_work
from program.models import Commitment
from shared.policy.models import Policy
from tests.factories import TODAY, make_entry, make_fund, make_program, make_user
from tests.program.funds.work import make_ready, make_work

pytestmark = pytest.mark.django_db


def test_open_items_of_open_cases_come_with_their_likely_cost_and_spends() -> None:
    case = make_ready(county="Orrin", kinds=["commuter"])
    item = make_work(case, operation="tire-replace")
    (work,) = open_work(make_program(), TODAY)
    assert (work.item, work.case, work.title, work.cents) == (
        item.pk,
        "26-041",
        "Two front tires",
        12_000,
    )
    (spend,) = work.spends
    assert (spend.system, spend.job, spend.part_kind) == ("tires", "tire-replace", "tire")
    assert (spend.county, spend.household_kinds) == ("Orrin", frozenset({"commuter"}))


def test_the_programs_tax_is_part_of_the_cost_and_a_given_part_costs_nothing() -> None:
    case = make_ready()
    make_work(case)
    make_work(case).needs.update(given=True)
    Policy.objects.create(
        program=make_program(),
        name="parts_tax_hundredths",
        value=825,
        since_on=TODAY,
        reason="The state's.",
        by=make_user(),
    )
    assert [work.cents for work in open_work(make_program(), TODAY)] == [12_990, 0]


def test_closed_cases_and_done_items_are_left_out() -> None:
    case = make_ready()
    make_work(case, state="done", done_on=TODAY)
    closed = make_ready("26-042")
    make_work(closed)
    closed.closed_on, closed.closed_because = TODAY, "Moved."
    closed.save()
    assert open_work(make_program(), TODAY) == []


def test_what_is_set_aside_is_known_by_fund_and_not_lacked_any_more() -> None:
    case, fund = make_ready(), make_fund(code="WIN")
    item = make_work(case)
    Commitment.objects.create(
        program=make_program(),
        cause="plan:1",
        case=case,
        item_id=item.pk,
        fund=fund,
        cents=5_000,
        entry=make_entry(("9010", "9020", 5_000, fund)),
    )
    (work,) = open_work(make_program(), TODAY)
    assert (work.set_aside, work.left) == ({"WIN": 5_000}, 7_000)


def test_the_questions_are_the_same_few_for_one_car_and_for_many() -> None:
    counts = []
    for number in range(3):
        case = make_ready(f"26-10{number}")
        make_work(case)
        make_work(case, system="brakes", kind="brake_pads")
        with CaptureQueriesContext(connection) as asked:
            found = open_work(make_program(), TODAY)
        counts.append((len(found), len(asked)))
    assert [items for items, _ in counts] == [2, 4, 6]
    assert len({queries for _, queries in counts}) == 1
    assert counts[0][1] == 7
