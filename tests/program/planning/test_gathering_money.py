"""Money, time and pins in the input of a plan."""

from __future__ import annotations

import datetime as dt

import pytest

from program.models import Commitment, Pin
from shared.policy.models import Policy
from tests.factories import (
    TODAY,
    make_bay,
    make_entry,
    make_hours,
    make_person,
    make_user,
)
from tests.program.planning.gathered import gathered
from tests.program.planning.weeks import make_money, make_ready, make_shop, make_work
from vehicles.models import Equipment

pytestmark = pytest.mark.django_db


def test_what_is_set_aside_for_an_item_is_known() -> None:
    program = make_shop()
    case, fund = make_ready(), make_money()
    item = make_work(case)
    entry = make_entry(("9010", "9020", 12_000, fund))
    Commitment.objects.create(
        program=program,
        cause="plan:1",
        case=case,
        item_id=item.pk,
        fund=fund,
        cents=12_000,
        entry=entry,
    )
    answer = gathered()
    assert answer.items[0].set_aside_cents == 12_000
    assert answer.funds[0].available_cents == 88_000


def test_each_week_holds_the_book_minutes_signed_up_for() -> None:
    program = make_shop(minutes=0)
    person = make_person(program=program, pace_percent=50, attendance_percent=100, kind="volunteer")
    make_hours(person=person, minutes=600)
    minutes = [week.capacity["minutes"] for week in gathered().weeks]
    assert minutes == [300, 0, 0]


def test_a_bay_whose_lift_is_tagged_out_or_overdue_is_out() -> None:
    program = make_shop()
    late = make_bay(name="Bay 2")  # in date until the second Monday
    tagged = make_bay(name="Bay 3")
    shared = {"program": program, "name": "Lift"}
    Equipment.objects.create(bay=late, due_on=TODAY + dt.timedelta(days=7), **shared)
    due = TODAY + dt.timedelta(days=90)
    Equipment.objects.create(bay=tagged, due_on=due, tagged_out=True, **shared)
    make_bay(name="Bay 4", closed_on=TODAY)
    assert [week.capacity["bay_days"] for week in gathered().weeks] == [10, 6, 5]


def test_pins_that_stand_are_obeyed_and_ended_ones_forgotten() -> None:
    program = make_shop()
    for number, direction, ended in (
        ("26-041", "in", None),
        ("26-042", "out", None),
        ("26-043", "out", "2026-11-29T12:00:00Z"),
    ):
        Pin.objects.create(
            program=program,
            case=make_ready(number),
            direction=direction,
            reason="A job starts.",
            by=make_user(),
            ended_at=ended,
        )
    answer = gathered()
    assert answer.pinned_in == {"26-041"}
    assert answer.pinned_out == {"26-042"}


def test_a_restricted_fund_pays_only_what_its_rule_allows() -> None:
    make_shop()
    case = make_ready()
    tires = make_work(case, system="tires")
    make_work(case, system="brakes", title="Front pads")
    rule = {"systems": ["tires"]}
    make_money(code="WIN", name="winter collection", restricted=True, rule=rule)
    make_money(code="GEN")
    pays = {fund.id: fund.pays for fund in gathered().funds}
    assert pays == {"WIN": frozenset({str(tires.pk)}), "GEN": None}


def test_a_fund_that_pays_in_one_county_leaves_the_others_out() -> None:
    make_shop()
    make_work(make_ready())
    rule = {"counties": ["orrin"]}
    make_money(code="ORR", restricted=True, rule=rule)
    assert gathered().funds[0].pays == frozenset()


def test_the_reserve_is_kept_back_from_unrestricted_money_only() -> None:
    program = make_shop()
    Policy.objects.create(
        program=program, name="reserve_floor_cents", value=50_000, since_on=dt.date(2026, 2, 1)
    )
    make_money(30_000, code="A", name="first fund")
    make_money(90_000, code="B", name="second fund")
    make_money(90_000, code="R", name="gift", restricted=True)
    kept = {fund.id: fund.floor_cents for fund in gathered().funds}
    assert kept == {"A": 30_000, "B": 20_000, "R": 0}


def test_closed_funds_and_those_that_have_lapsed_are_left_out() -> None:
    make_shop()
    make_money(code="OLD", closed_on=TODAY)
    make_money(code="GONE", lapses_on=TODAY - dt.timedelta(days=1))
    assert gathered().funds == ()
