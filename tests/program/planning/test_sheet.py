"""A plan as a person reads it, and its pictures."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from program.models import Tie
from program.planning.sheet import WITHHELD, PartRow, in_words, week_sheet
from shared.accounts.roles import RoleKind
from shared.dates import short_date
from tests.factories import TODAY, make_need, make_pledge, make_user
from tests.program.planning.sheets import week
from tests.program.planning.weeks import (
    computed,
    make_money,
    make_ready,
    make_shop,
    make_work,
)

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def test_the_sheet_says_who_goes_home_for_what_and_who_pays() -> None:
    sheet = week()
    (row,) = sheet.homes
    assert (row.number, row.household, row.car) == ("26-041", "Dana Haskell", "2012 Toyota Corolla")
    assert (row.work, row.need_weight, row.minutes) == ("Two front tires", 8, 105)
    assert row.paid_by == (("general fund", row.cash_cents),)
    assert sheet.cash_cents == row.cash_cents > 20_000
    assert row.days == f"{short_date(row.from_on)} – {short_date(row.by_on)}"
    assert (sheet.headline, sheet.paying_funds) == ("One car goes home", 1)


def test_a_car_that_lacks_something_waits_apart_from_one_that_needs_a_person() -> None:
    sheet = week()
    assert [(row.number, row.lacks) for row in sheet.held] == [
        ("26-043", "A person has to decide first whether it is repaired.")
    ]
    (row,) = sheet.waits
    assert row.number == "26-042"
    assert "$" in row.lacks


def test_parts_are_counted_by_where_they_come_from() -> None:
    sheet = week()
    first = sheet.first_on
    assert sheet.parts == (
        PartRow(number="26-041", part="Radiator", count=1, source="on the shelf", by_on=first),
        PartRow(number="26-041", part="Radiator", count=1, source="to buy", by_on=first),
    )


def test_a_promised_part_names_its_sponsor() -> None:
    make_shop()
    make_money()
    make_need(item=make_work(make_ready()))
    pledge = make_pledge()
    (part,) = week_sheet(computed()).parts
    assert (part.source, part.count) == (str(pledge.sponsor), 1)


def test_the_proof_is_a_clause() -> None:
    sheet = week()
    assert sheet.carried == "It carries 8 points of need"
    assert sheet.proof == "Proven: no other choice brings more than 8 home"


def test_a_draft_is_no_approved_plan() -> None:
    sheet = week()
    assert (sheet.approved, sheet.made_on) == (False, TODAY)


def test_a_case_withheld_from_the_reader_stays_without_a_name() -> None:
    make_shop()
    make_money()
    case = make_ready("26-041")
    make_work(case)
    plan = computed()
    user = make_user(RoleKind.BOARD)
    assert case.household is not None
    Tie.objects.create(program=case.program, household=case.household, user=user)
    (row,) = week_sheet(plan, user).homes
    assert (row.number, row.household, row.car) == ("26-041", WITHHELD, "")
    assert week_sheet(plan).homes[0].household == "Dana Haskell"


@pytest.mark.parametrize(("count", "word"), [(0, "No"), (1, "One"), (10, "Ten"), (11, "11")])
def test_counts_are_words_up_to_ten(count: int, word: str) -> None:
    assert in_words(count) == word


def test_reading_a_plan_takes_as_many_queries_for_five_cars_as_for_one() -> None:
    make_shop()
    make_money(500_000)

    def count() -> int:
        plan = computed()
        with CaptureQueriesContext(connection) as queries:
            week_sheet(plan)
        return len(queries)

    make_need(item=make_work(make_ready("26-041")))
    one = count()
    for number in ("26-042", "26-043", "26-044"):
        make_need(item=make_work(make_ready(number)))
    assert count() == one
