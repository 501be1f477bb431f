"""The ranking rule over every reason of the shipped catalogue and over jobs of several findings.

What must hold is the program's own rule on MIL-STD-882E; single findings of any kind are in
test_ranking.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from random import Random  # noqa: TC003 - hypothesis reads the annotation
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.repairs.ranking import CodeSeverity, Hazard, Ranked, RankItem, rank

if TYPE_CHECKING:
    from vehicles.inspection.criteria import Reason

REASONS = {
    f"{one.code} {reason.key}": reason for one in load().criteria.values() for reason in one.reasons
}
HAZARDS = st.builds(
    Hazard,
    deficiency=st.sampled_from(DeficiencyClass),
    severity=st.integers(1, 4),
    never_release=st.booleans(),
    strands=st.booleans(),
    code=st.sampled_from(CodeSeverity),
)
JOBS = st.lists(HAZARDS, min_size=1, max_size=6)
MILES = st.integers(0, 1000)
CENTS = st.integers(0, 5_000_00)


def hazard(reason: Reason) -> Hazard:
    return Hazard(
        deficiency=reason.ranks_as,
        severity=reason.severity,
        never_release=reason.never_release,
        strands=reason.strands,
    )


#: Each kind of hazard that the catalogue has, with the reasons of that kind.
KINDS: dict[Hazard, list[str]] = {}
for _name, _reason in REASONS.items():
    KINDS.setdefault(hazard(_reason), []).append(_name)


def one(*hazards: Hazard, miles: int = 200, cents: int = 0) -> Ranked:
    [ranked] = rank([RankItem(id=1, hazards=hazards, net_cost_cents=cents)], miles)
    return ranked


@pytest.fixture(scope="module")
def by_week() -> dict[int, dict[int, Ranked]]:
    """Every kind of hazard in the catalogue, ranked at each mile from 0 to 1000 a week."""
    items = [RankItem(id=at, hazards=(kind,)) for at, kind in enumerate(KINDS)]
    return {miles: {one.id: one for one in rank(items, miles)} for miles in range(1001)}


def test_no_reason_of_the_catalogue_changes_its_tier_between_0_and_1000_miles(
    by_week: dict[int, dict[int, Ranked]],
) -> None:
    # In an earlier form of the rule 178 of 348 major rows with severity 1 were "do not drive" at
    # 301 miles a week and left on a signature at 299.
    moved = {
        name
        for at, names in enumerate(KINDS.values())
        if len({(week[at].tier, week[at].steps) for week in by_week.values()}) > 1
        for name in names
    }
    assert moved == set()
    assert sum(len(names) for names in KINDS.values()) == len(REASONS)


def test_points_of_each_reason_step_up_once_above_300_miles(
    by_week: dict[int, dict[int, Ranked]],
) -> None:
    for at, names in enumerate(KINDS.values()):
        short = {by_week[miles][at].points for miles in range(301)}
        long = {by_week[miles][at].points for miles in range(301, 1001)}
        assert (len(short), len(long)) == (1, 1), names
        assert min(short) <= min(long), names


@pytest.mark.parametrize("miles", [0, 299, 300, 301, 1000])
def test_what_no_car_is_released_with_is_tier_0_at_any_miles_and_cost(miles: int) -> None:
    never = {
        name: reason
        for name, reason in REASONS.items()
        if reason.never_release or reason.deficiency == DeficiencyClass.DANGEROUS
    }
    later = {
        name
        for name, reason in never.items()
        for cents in (0, 25_00, 5_000_00)
        if one(hazard(reason), miles=miles, cents=cents).tier != 0
    }
    assert len(never) > 50
    assert later == set()


def test_no_reason_that_strands_waits_longer_than_tier_1() -> None:
    strands = [reason for reason in REASONS.values() if reason.strands]
    assert strands != []
    assert max(one(hazard(reason)).tier for reason in strands) <= 1


def test_a_reason_of_a_worse_class_or_severity_never_ranks_later() -> None:
    for name, reason in REASONS.items():
        tier = one(hazard(reason)).tier
        worse = [
            replace(hazard(reason), deficiency=class_)
            for class_ in DeficiencyClass
            if class_.worse_than(reason.ranks_as)
        ]
        worse += [replace(hazard(reason), severity=step) for step in range(1, reason.severity)]
        assert all(one(changed).tier <= tier for changed in worse), name


@given(JOBS, HAZARDS, MILES, CENTS)
def test_one_finding_more_never_makes_a_job_wait(
    job: list[Hazard], more: Hazard, miles: int, cents: int
) -> None:
    before, after = one(*job, miles=miles, cents=cents), one(*job, more, miles=miles, cents=cents)
    assert after.tier <= before.tier
    assert (after.points, after.index_tenths) >= (before.points, before.index_tenths)
    assert after.tier == min(before.tier, one(more).tier)


@given(JOBS, MILES, MILES, CENTS, CENTS)
def test_the_tier_of_a_job_and_its_reasons_do_not_depend_on_cost_or_miles(
    job: list[Hazard], few: int, many: int, cheap: int, dear: int
) -> None:
    one_way, other = one(*job, miles=few, cents=cheap), one(*job, miles=many, cents=dear)
    assert (one_way.tier, one_way.cell, one_way.steps) == (other.tier, other.cell, other.steps)


@given(JOBS, MILES, CENTS)
def test_a_job_with_a_finding_that_never_leaves_is_tier_0(
    job: list[Hazard], miles: int, cents: int
) -> None:
    marked = [*job, Hazard(deficiency=DeficiencyClass.NONE, never_release=True)]
    assert one(*marked, miles=miles, cents=cents).tier == 0


@given(st.lists(HAZARDS, min_size=2, max_size=6), st.randoms(), MILES)
def test_the_order_of_findings_in_a_job_does_not_matter(
    job: list[Hazard], chance: Random, miles: int
) -> None:
    mixed = job.copy()
    chance.shuffle(mixed)
    assert one(*mixed, miles=miles).tier == one(*job, miles=miles).tier
    assert one(*mixed, miles=miles).points == one(*job, miles=miles).points


@given(JOBS, MILES, CENTS)
def test_the_index_is_points_per_hundred_dollars_to_one_decimal(
    job: list[Hazard], miles: int, cents: int
) -> None:
    ranked = one(*job, miles=miles, cents=cents)
    exact = Fraction(100 * ranked.points) / max(Fraction(cents, 100), Fraction(25))
    assert abs(Fraction(ranked.index) - exact) <= Fraction(1, 20)
    shown = Decimal(exact.numerator) / Decimal(exact.denominator)
    assert ranked.index == str(shown.quantize(Decimal("0.1"), ROUND_HALF_EVEN))


@given(st.lists(st.tuples(JOBS, CENTS), min_size=2, max_size=8), MILES)
def test_no_item_stands_before_one_of_an_earlier_tier(
    lot: list[tuple[list[Hazard], int]], miles: int
) -> None:
    items = [
        RankItem(id=at, hazards=tuple(job), net_cost_cents=cents)
        for at, (job, cents) in enumerate(lot)
    ]
    ranked = rank(items, miles)
    assert sorted(item.id for item in ranked) == [item.id for item in items]
    keys = [(item.tier, -item.index_tenths) for item in ranked]
    assert keys == sorted(keys)
