"""What is said of a rule, or of a fund, beside the open work."""

from __future__ import annotations

import datetime as dt

import pytest

from program.funds.sheet import fund_work, others_for, trial_of
from program.ledger.queries import pure_fund
from program.ledger.rules import parse
from program.models import Fund
from tests.factories import TODAY, make_fund, make_program
from tests.program.funds.work import make_ready, make_work

pytestmark = pytest.mark.django_db


def tires_and_brakes() -> None:
    """Make two open items of one car: tires for $120.00 and brakes for $80.00."""
    case = make_ready()
    make_work(case)
    make_work(case, cents=8_000, system="brakes", kind="brake_pads", title="Front pads")


def tire_fund(**fields: object) -> Fund:
    usual = {"code": "WIN", "name": "winter collection", "restricted": True}
    return make_fund(**usual | {"rule": {"systems": ["tires"]}} | fields)


def test_a_rule_that_is_tried_says_what_it_changes() -> None:
    tires_and_brakes()
    trial = trial_of(make_program(), pure_fund(tire_fund()), parse({"systems": "brakes"}))
    assert [(row.work.title, row.pays, row.was) for row in trial.rows] == [
        ("Two front tires", False, True),
        ("Front pads", True, False),
    ]
    assert (trial.cents, trial.of_cents, len(trial.changed)) == (8_000, 20_000, 2)


def test_a_new_funds_rule_changes_nothing_for_it_is_the_first() -> None:
    tires_and_brakes()
    rule = parse({"systems": "brakes"})
    trial = trial_of(make_program(), pure_fund(tire_fund()), rule, in_force=False)
    assert (trial.count, trial.changed) == (1, [])


@pytest.mark.parametrize(
    ("limit", "paid"),
    [
        ({"from_on": "2027-02-01"}, 2),
        ({"from_on": "2026-01-01"}, 2),
        ({"until_on": "2026-11-29"}, 0),
        ({"until_on": "2026-11-30"}, 2),
    ],
)
def test_a_rule_is_tried_today_or_on_the_later_day_it_starts(
    limit: dict[str, str], paid: int
) -> None:
    tires_and_brakes()
    trial = trial_of(make_program(), pure_fund(make_fund()), parse(limit), in_force=False)
    assert trial.count == paid


def test_money_that_no_open_work_may_use_is_counted() -> None:
    tires_and_brakes()
    found = fund_work(tire_fund(), 50_000, 50_000)
    assert (found.trial.count, found.trial.wants, found.unused) == (1, 12_000, 38_000)
    assert found.lapse is None
    assert fund_work(Fund.objects.get(), 12_000, 12_000).unused == 0


def test_what_lapses_counts_what_is_set_aside_and_goes_by_the_earlier_day() -> None:
    fund = tire_fund(lapses_on=TODAY + dt.timedelta(days=40), rule={"until_on": "2026-12-20"})
    lapse = fund_work(fund, 10_000, 15_000).lapse
    assert lapse is not None
    assert str(lapse.sentence) == (
        "The winter collection will lapse $150.00 on Sunday, December 20, 2026, in 20 days."
    )


def test_the_other_open_funds_that_may_pay_the_same_work_are_named() -> None:
    tires_and_brakes()
    fund = pure_fund(tire_fund())
    make_fund(code="GEN", name="general fund")
    make_fund(code="BRA", name="brake gift", rule={"systems": ["brakes"]})
    make_fund(code="OLD", name="old gift", closed_on="2026-06-30")
    make_fund(code="FAR", name="far gift", program=make_program(name="Other garage"))
    trial = trial_of(make_program(), fund, fund.rule)
    found = others_for(make_program(), trial, fund.code)
    assert [(one.fund, one.count, one.cents) for one in found] == [("general fund", 1, 12_000)]
