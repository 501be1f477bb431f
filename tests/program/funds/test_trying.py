"""A rule tried on work: what it pays, refuses and changes."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.funds.trying import (
    Overlap,
    Work,
    changed,
    kinds_refused,
    loosened,
    overlaps,
    tried,
    unused,
)
from program.ledger.restrictions import Fund, Rule, Spend, allows, parse

DAY = date(2026, 11, 30)


def make_work(number: int, system: str, cents: int, **fields: Any) -> Work:
    spend = Spend(what="work", on=DAY, cents=1, system=system, county="Bram")
    defaults: dict[str, Any] = {"case": "26-041", "title": system, "spends": (spend,)}
    return Work(item=number, cents=cents, **defaults | fields)


def fund(code: str = "WIN", **cells: str) -> Fund:
    return Fund(code=code, name=f"{code} fund", restricted=True, rule=parse(cells))


WORK = [
    make_work(1, "tires", 8_000),
    make_work(2, "brakes", 5_000, set_aside={"WIN": 3_000}),
    make_work(3, "cooling", 2_000),
    make_work(4, "tires", 0),
]


def test_a_trial_counts_what_may_be_paid_and_leaves_out_what_has_no_price() -> None:
    trial = tried(WORK, fund(systems="tires; brakes"))
    assert (trial.count, trial.of_count, trial.cents, trial.of_cents) == (2, 3, 13_000, 15_000)
    assert (trial.unpriced, trial.wants) == (1, 10_000)


def test_each_sentence_says_how_many_items_it_refuses() -> None:
    trial = tried(WORK, fund(systems="brakes"))
    assert [(str(one.why), one.count, one.cents) for one in trial.refusals] == [
        ("It pays only for brakes.", 2, 10_000)
    ]


def test_what_changes_and_what_is_set_aside_already_is_named() -> None:
    trial = tried(WORK, fund(systems="tires"), before=fund(systems="brakes"))
    assert [(row.work.item, row.pays, row.was) for row in trial.changed] == [
        (1, True, False),
        (2, False, True),
    ]
    assert ([row.work.item for row in trial.broken], trial.broken_cents) == ([2], 3_000)


def test_an_item_is_paid_only_where_every_part_of_it_is_allowed() -> None:
    spends = (*WORK[0].spends, *WORK[2].spends)
    both = make_work(5, "tires", 9_000, spends=spends)
    assert tried([both], fund(systems="tires")).count == 0
    assert tried([both], fund(systems="tires; cooling")).count == 1


def test_the_rest_that_no_work_may_use_counts_each_fund_by_itself() -> None:
    trial = tried(WORK, fund(systems="tires"))
    assert (unused(10_000, trial), unused(8_000, trial), unused(-5, trial)) == (2_000, 0, 0)


def test_other_funds_that_may_pay_the_same_work_are_named_dearest_first() -> None:
    trial = tried(WORK, fund(systems="tires; brakes"))
    others = [fund("B", systems="brakes"), fund("A"), fund("C", systems="cooling")]
    assert overlaps(trial, others) == [
        Overlap(fund="A fund", count=2, cents=13_000),
        Overlap(fund="B fund", count=1, cents=5_000),
    ]


@pytest.mark.parametrize(
    ("cells", "refused"),
    [
        ({}, []),
        ({"systems": "tires"}, ["tools", "rent", "admin", "fundraising"]),
        (
            {"kinds": "parts; sublet; tools"},
            ["labor", "towing", "inspection", "supplies", "rent", "admin", "fundraising"],
        ),
    ],
)
def test_the_kinds_of_spend_a_rule_never_pays_are_named(
    cells: dict[str, str], refused: list[str]
) -> None:
    assert kinds_refused(fund(**cells), DAY) == refused


@pytest.mark.parametrize(
    ("old", "new", "names"),
    [
        ({"systems": "tires"}, {"systems": "tires; brakes"}, ["systems"]),
        ({"systems": "tires; brakes"}, {"systems": "tires"}, []),
        ({"systems": "tires"}, {}, ["systems"]),
        ({}, {"systems": "tires", "until_on": "2026-12-01"}, []),
        ({"until_on": "2026-12-01"}, {"until_on": "2026-12-02"}, ["until_on"]),
        ({"from_on": "2026-12-01"}, {"from_on": "2026-11-30"}, ["from_on"]),
        ({"until_on": "2026-12-02", "from_on": "2026-11-01"}, {}, ["from_on", "until_on"]),
        ({"two_over_cents": "100"}, {}, []),
    ],
)
def test_a_limit_that_is_taken_away_or_widened_is_named(
    old: dict[str, str], new: dict[str, str], names: list[str]
) -> None:
    assert loosened(parse(old), parse(new)) == names


def test_every_limit_that_differs_is_named() -> None:
    old, new = parse({"systems": "tires"}), parse({"counties": "orrin", "two_over_cents": "5"})
    assert changed(old, new) == ["systems", "counties", "two_over_cents"]


rules = st.builds(
    Rule,
    systems=st.frozensets(st.sampled_from(["tires", "brakes", "cooling"])),
    counties=st.frozensets(st.sampled_from(["bram", "orrin"])),
)


@given(rules, rules)
def test_a_rule_that_is_not_loosened_allows_nothing_new(old: Rule, new: Rule) -> None:
    if loosened(old, new):
        return
    for system in ("tires", "brakes", "cooling", ""):
        for county in ("Bram", "Orrin", ""):
            spend = Spend(what="work", on=DAY, cents=1, system=system, county=county)
            was = allows(Fund(code="A", name="a", rule=old), spend)
            now = allows(Fund(code="A", name="a", rule=new), spend)
            assert was.allowed >= now.allowed
