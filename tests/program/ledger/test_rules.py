"""A restriction as text, as JSON, and as what a machine checks."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.ledger.rules import NO_LIMITS, Rule, SpendKind, from_dict, listed, parse
from vehicles.operations.catalogue import load
from vehicles.shop.systems import System

CODES = st.frozensets(st.from_regex(r"[a-z]{1,8}", fullmatch=True), max_size=3)
DAYS = st.dates(date(2020, 1, 1), date(2030, 12, 31))


@st.composite
def rules(draw: st.DrawFn) -> Rule:
    first, last = sorted((draw(DAYS), draw(DAYS)))
    return Rule(
        systems=draw(st.frozensets(st.sampled_from([one.value for one in System]), max_size=3)),
        jobs=draw(st.frozensets(st.sampled_from(sorted(load())), max_size=3)),
        part_kinds=draw(CODES),
        counties=draw(CODES),
        household_kinds=draw(CODES),
        kinds=draw(st.frozensets(st.sampled_from([one.value for one in SpendKind]), max_size=3)),
        from_on=draw(st.sampled_from([None, first])),
        until_on=draw(st.sampled_from([None, last])),
        two_over_cents=draw(st.none() | st.integers(0, 10**9)),
    )


@given(rules())
def test_what_was_written_is_read_back(rule: Rule) -> None:
    assert from_dict(rule.to_dict()) == rule


def test_a_rule_without_limits_is_written_as_nothing() -> None:
    assert NO_LIMITS.to_dict() == {}
    assert from_dict({}) == NO_LIMITS


@pytest.mark.parametrize(
    ("cells", "sentence"),
    [
        ({"color": "red"}, "“color” is not a limit that a fund can have."),
        ({"jobs": "paint_it"}, "“paint_it” is not"),
        ({"kinds": "lunch"}, "“lunch” is not a kind of spend."),
        ({"two_over_cents": "many"}, "“many” is not"),
        ({"from_on": "2026-12-31", "until_on": "2026-01-01"}, "before 2026-12-31, its start."),
    ],
)
def test_what_is_no_rule_is_refused(cells: dict[str, str], sentence: str) -> None:
    with pytest.raises(ValueError) as refusal:  # noqa: PT011  # the sentence is looked at below
        parse(cells)
    assert sentence in str(refusal.value)


def test_a_typed_list_is_codes() -> None:
    assert listed(" Orrin  County; ALDER ;; ") == {"orrin county", "alder"}
