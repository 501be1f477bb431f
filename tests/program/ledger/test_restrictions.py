from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.ledger.chart import load
from program.ledger.restrictions import (
    Fund,
    Rule,
    Spend,
    SpendKind,
    allows,
    from_dict,
    gift_first,
    in_words,
    listed,
    needs_two,
    parse,
    refusal,
    who_may,
)
from tests.program.ledger.making import DAY
from vehicles.shop.systems import System

words = st.frozensets(st.sampled_from(["north hill", "veteran", "ball joint"]))


@st.composite
def rules(draw: st.DrawFn) -> Rule:
    from_on = draw(st.none() | st.dates(date(2025, 1, 1), date(2026, 6, 30)))
    until_on = draw(st.none() | st.dates(date(2026, 7, 1), date(2027, 12, 31)))
    return Rule(
        systems=draw(st.frozensets(st.sampled_from([system.value for system in System]))),
        part_kinds=draw(words),
        counties=draw(words),
        household_kinds=draw(words),
        kinds=draw(st.frozensets(st.sampled_from([kind.value for kind in SpendKind]))),
        from_on=from_on,
        until_on=until_on,
        jobs=draw(st.frozensets(st.sampled_from(["tire-replace", "brake-pads-front"]))),
        two_over_cents=draw(st.none() | st.integers(0, 10**9)),
    )


def make_fund(**limits: Any) -> Fund:
    return Fund(code="WIN", name="winter collection", restricted=True, rule=Rule(**limits))


def make_spend(**fields: Any) -> Spend:
    defaults = {
        "what": "a ball joint",
        "on": DAY,
        "cents": 14000,
        "system": "suspension",
        "job": "ball-joint",
        "part_kind": "ball joint",
        "county": "Bram",
        "household_kinds": frozenset({"veteran"}),
    }
    return Spend(**{**defaults, **fields})


@pytest.mark.parametrize(
    ("limits", "reason"),
    [
        ({"systems": frozenset({"tires", "glass"})}, "It pays only for glass and wipers or tires."),
        (
            {"jobs": frozenset({"tire-replace", "tire-match"})},
            "It pays only for these jobs: replace the two tires that do not match or replace tire.",
        ),
        ({"part_kinds": frozenset({"tire"})}, "It pays only for tire."),
        ({"kinds": frozenset({"sublet", "towing"})}, "It pays only for sublet or towing."),
        ({"counties": frozenset({"osier"})}, "It pays only in Osier."),
        (
            {"household_kinds": frozenset({"new_job"})},
            "It pays only for these households: new job.",
        ),
        ({"from_on": date(2026, 11, 26)}, "It starts on Thursday, November 26, 2026."),
        ({"until_on": date(2026, 11, 24)}, "It ended on Tuesday, November 24, 2026."),
    ],
)
def test_each_limit_refuses_with_its_reason(limits: dict[str, Any], reason: str) -> None:
    answer = allows(make_fund(**limits), make_spend())
    assert [str(said) for said in answer.reasons] == [reason]
    assert not answer.allowed


@pytest.mark.parametrize(
    "limits",
    [
        {},
        {"systems": frozenset({"suspension", "tires"})},
        {"jobs": frozenset({"ball-joint", "tire-replace"})},
        {"part_kinds": frozenset({"ball joint"})},
        {"two_over_cents": 1},
        {"kinds": frozenset({"parts"})},
        {"counties": frozenset({"bram"})},
        {"household_kinds": frozenset({"veteran", "new_job"})},
        {"from_on": DAY, "until_on": DAY},
    ],
)
def test_a_limit_that_is_kept_allows(limits: dict[str, Any]) -> None:
    assert allows(make_fund(**limits), make_spend()).reasons == ()


def test_what_the_spend_leaves_open_is_not_taken_as_kept() -> None:
    fund = make_fund(counties=frozenset({"bram"}))
    assert not allows(fund, make_spend(county=""))


def test_a_closed_fund_pays_nothing() -> None:
    fund = Fund(code="OLD", name="flood fund", closed_on=DAY)
    assert [str(reason) for reason in allows(fund, make_spend()).reasons] == [
        "It was closed on Wednesday, November 25, 2026."
    ]


def test_the_refusal_names_the_fund_that_may() -> None:
    winter = make_fund(systems=frozenset({"tires"}))
    others = [winter, Fund(code="PRU", name="Pruitt gift", restricted=True)]
    problem = refusal(winter, others, make_spend())
    assert problem is not None
    assert f"{problem.sentence} {problem.remedy}" == (
        "The winter collection can't pay for a ball joint. It pays only for tires. "
        "The Pruitt gift may."
    )


def test_the_refusal_says_when_no_fund_may() -> None:
    winter = make_fund(systems=frozenset({"tires"}))
    problem = refusal(winter, [winter], make_spend())
    assert problem is not None
    assert str(problem.remedy) == "No other fund may."


def test_a_fund_that_may_pay_is_not_refused() -> None:
    assert refusal(make_fund(), [], make_spend()) is None


def test_restricted_money_that_ends_first_is_named_first() -> None:
    general = Fund(code="A", name="general fund")
    late, early = (
        Fund(code=code, name=code, restricted=True, rule=Rule(until_on=date(2026, 12, day)))
        for code, day in (("B", 31), ("C", 1))
    )
    tires = make_fund(systems=frozenset({"tires"}))
    assert who_may([general, tires, late, early], make_spend()) == [early, late, general]


def test_a_sheet_cell_becomes_a_rule() -> None:
    cells = {"systems": "Brakes; tires ", "counties": "North  Hill", "until_on": "12/31/2026"}
    assert parse(cells) == Rule(
        systems=frozenset({"brakes", "tires"}),
        counties=frozenset({"north hill"}),
        until_on=date(2026, 12, 31),
    )


def test_an_empty_cell_is_no_limit() -> None:
    assert listed(" ; ") == frozenset()
    assert parse({"systems": "", "from_on": " "}) == Rule()


@pytest.mark.parametrize(
    ("cells", "message"),
    [
        ({"color": "red"}, "“color” is not a limit that a fund can have."),
        ({"kinds": "snacks"}, "“snacks” is not a kind of spend. Use one of: parts, "),
        ({"systems": "wings"}, "“wings” is not a system."),
        ({"jobs": "paint-it"}, "“paint-it” is not a job of the catalogue of operations."),
        ({"two_over_cents": "5.00"}, "“5.00” is not a whole number of cents."),
        ({"from_on": "soon"}, "“soon” is not a date."),
        (
            {"from_on": "2026-12-02", "until_on": "2026-12-01"},
            "The fund would end on 2026-12-01, before 2026-12-02, its start.",
        ),
    ],
)
def test_a_cell_that_makes_no_rule_is_refused(cells: dict[str, str], message: str) -> None:
    with pytest.raises(ValueError, match=f"^{message}"):
        parse(cells)


@pytest.mark.parametrize("cents", [0, -1])
def test_a_spend_of_nothing_is_refused(cents: int) -> None:
    with pytest.raises(ValueError, match=r"^A spend has to be more than \$0\.00\.$"):
        make_spend(cents=cents)


@given(rules())
def test_a_rule_survives_being_stored(rule: Rule) -> None:
    assert from_dict(json.loads(json.dumps(rule.to_dict()))) == rule


@given(rules())
def test_a_fund_without_limits_may_pay_whatever_a_limited_one_may(rule: Rule) -> None:
    free, limited = Fund(code="A", name="a"), Fund(code="B", name="b", rule=rule)
    assert allows(free, make_spend()).allowed >= allows(limited, make_spend()).allowed


@pytest.mark.parametrize(
    ("over", "said"),
    [
        (None, "None"),
        (14_000, "None"),
        (13_999, "The winter collection asks for two people over $139.99. This is $140.00."),
    ],
)
def test_two_people_are_asked_for_only_over_the_amount(over: int | None, said: str) -> None:
    assert str(needs_two(make_fund(two_over_cents=over), make_spend())) == said


def test_a_rule_is_said_in_the_order_in_which_it_is_looked_at() -> None:
    rule = parse({"jobs": "tire-replace", "counties": "orrin", "two_over_cents": "50000"})
    assert [str(one) for one in in_words(rule)] == [
        "It pays only for these jobs: replace tire.",
        "It pays only in Orrin.",
        "Over $500.00 it needs two people.",
    ]


@pytest.mark.parametrize(
    ("restricted", "account", "said"),
    [
        (True, "4010", "The winter collection is restricted: a gift is tested before it is booked"),
        (True, "2010", ""),
        (False, "4010", ""),
    ],
)
def test_income_is_not_typed_into_a_restricted_fund(
    *, restricted: bool, account: str, said: str
) -> None:
    fund = Fund(code="WIN", name="winter collection", restricted=restricted)
    problem = gift_first(fund, load()[account])
    assert (str(problem.sentence) if problem else "").startswith(said)
    assert bool(problem) == bool(said)
