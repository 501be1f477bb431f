"""A gift tested on the open work, before anybody decides on it."""

from __future__ import annotations

import datetime as dt

import pytest

from program.gifts import sheet
from tests.factories import make_case, make_fund, make_household
from tests.program.funds.work import make_ready, make_work
from tests.program.gifts.offers import make_offer

pytestmark = pytest.mark.django_db


def tires_and_brakes() -> None:
    """Make two open items of one car: tires for $120.00 and brakes for $80.00."""
    case = make_ready()
    make_work(case)
    make_work(case, cents=8_000, system="brakes", kind="brake_pads")


def test_a_gift_says_what_it_may_pay_and_what_no_work_may_use() -> None:
    tires_and_brakes()
    found = sheet.tested(make_offer())
    assert [str(one) for one in found.words] == ["It pays only for tires."]
    assert (found.trial.count, found.trial.of_count, found.unused) == (1, 2, 48_000)
    assert [(str(one.why), one.count) for one in found.trial.refusals] == [
        ("It pays only for tires.", 1)
    ]
    assert (found.against, found.to_know) == ((), ())


def test_a_gift_for_a_part_of_the_car_never_pays_what_is_of_no_car() -> None:
    assert sheet.tested(make_offer()).kinds == ("tools", "rent", "admin", "fundraising")
    assert sheet.tested(make_offer(rule={})).kinds == ()


def test_a_fund_that_may_pay_the_same_work_is_named_but_not_the_gifts_own() -> None:
    tires_and_brakes()
    own = make_fund(name="tire gift", restricted=True, rule={"systems": ["tires"]})
    make_fund(name="general fund")
    found = sheet.tested(make_offer(fund=own, fund_name="", rule={}))
    assert [(one.fund, one.count, one.cents) for one in found.overlaps] == [
        ("general fund", 1, 12_000)
    ]


def test_what_bars_a_gift_and_what_is_only_worth_knowing_stand_apart() -> None:
    make_case(household=make_household(name="Dana Haskell"))
    found = sheet.tested(make_offer(terms="For Dana.", lapses_on=dt.date(2026, 12, 20), rule={}))
    assert [str(one.sentence).split(".")[0] for one in found.against] == [
        "“Dana” may mean one household"
    ]
    assert [str(one.sentence) for one in found.to_know][1:] == [
        "The rule of the Moss Lane gift has no limits yet."
    ]
