from __future__ import annotations

import json
from dataclasses import replace

import pytest

from program.planning.canonical import fingerprint
from program.planning.facts import facts_from_json, facts_to_json
from program.planning.greedy import greedy
from program.planning.plan import Plan
from program.planning.problem import NO_RULE
from shared.say import say
from tests.program.planning.programs import program


@pytest.mark.parametrize("seed", range(6))
def test_what_was_kept_is_what_was_given(seed: int) -> None:
    given = program(seed)
    kept = json.loads(json.dumps(facts_to_json(given)))
    assert facts_from_json(kept) == given
    assert fingerprint(facts_from_json(kept)) == fingerprint(given)


def test_the_approved_plan_pins_and_reasons_are_kept_too() -> None:
    given = program(3)
    cases = (replace(given.cases[0], hold=say("No owner has consented."), stands={"spaces": 1}),)
    given = replace(
        given,
        cases=(*cases, *given.cases[1:]),
        pinned_in=frozenset({"c001"}),
        pinned_out=frozenset({"c002", "c003"}),
        prior=Plan(cases=greedy(given), stages=()),
    )
    kept = json.loads(json.dumps(facts_to_json(given)))
    assert facts_from_json(kept) == given


def test_a_fund_that_may_pay_nothing_is_not_one_that_may_pay_anything() -> None:
    given = program(1)
    none = tuple(replace(fund, pays=frozenset(), rule=NO_RULE) for fund in given.funds)
    kept = facts_from_json(facts_to_json(replace(given, funds=none)))
    assert {fund.pays for fund in kept.funds} == {frozenset()}
