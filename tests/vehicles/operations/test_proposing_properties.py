"""What always holds from findings to repairs, on any set of findings of the shipped catalogue."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from vehicles.inspection.catalogue import load as load_criteria
from vehicles.intake.car import Brake, CarFacts, Fuel
from vehicles.operations.catalogue import load
from vehicles.operations.proposing import CENTS_A_MINUTE, JOB_MINUTES, Found, Proposal, propose

if TYPE_CHECKING:
    from collections.abc import Iterable
    from random import Random

OPERATIONS = load()
CRITERIA = load_criteria().criteria
POINTS = [
    Found(id=at, criterion=code, position=position, reason=key, deficiency=deficiency)
    for at, (code, position, key, deficiency) in enumerate(
        (one.code, position, reason.key, reason.ranks_as)
        for one in CRITERIA.values()
        for position in one.positions or ("",)
        for reason in one.reasons
    )
]
FINDINGS = st.lists(st.sampled_from(POINTS), max_size=25, unique_by=lambda found: found.id)
CARS = st.builds(
    CarFacts,
    fuel=st.sampled_from([None, *Fuel]),
    rear_brakes=st.sampled_from([None, *Brake]),
    power_brakes=st.sampled_from([None, True, False]),
)


def effort(jobs: Iterable[Proposal]) -> int:
    """Count anew what the repairs ask, as the module says it, each with what it brings along."""
    return sum(
        (job.minutes.likely + JOB_MINUTES) * CENTS_A_MINUTE
        + sum(part.quantity * part.price.likely for part in job.parts)
        + job.sublet_cents
        + sum(effort_of(code) for code in job.operation.brings)
        for job in jobs
        if job.findings
    )


def effort_of(code: str) -> int:
    one = OPERATIONS[code]
    parts = sum(part.quantity * part.price.likely for part in one.parts)
    own = (one.minutes.likely + JOB_MINUTES) * CENTS_A_MINUTE + parts + one.sublet_cents
    return own + sum(effort_of(brought) for brought in one.brings)


@given(FINDINGS, CARS)
def test_each_finding_is_cleared_once_or_left(findings: list[Found], car: CarFacts) -> None:
    jobs, left = propose(findings, OPERATIONS, car)
    ids = [one for job in jobs for one in job.findings] + [one.id for one in left]
    assert sorted(ids) == sorted(one.id for one in findings)


@given(FINDINGS, CARS, st.randoms(use_true_random=False))
def test_the_order_of_findings_changes_nothing(
    findings: list[Found], car: CarFacts, random: Random
) -> None:
    mixed = list(findings)
    random.shuffle(mixed)
    assert propose(mixed, OPERATIONS, car) == propose(findings, OPERATIONS, car)


@settings(max_examples=200)
@given(FINDINGS.filter(bool), CARS)
def test_a_finding_less_is_never_more_work(findings: list[Found], car: CarFacts) -> None:
    before, _ = propose(findings, OPERATIONS, car)
    after, _ = propose(findings[1:], OPERATIONS, car)
    assert effort(after) <= effort(before)


@given(FINDINGS, CARS)
def test_a_repair_comes_after_those_it_names(findings: list[Found], car: CarFacts) -> None:
    jobs, _ = propose(findings, OPERATIONS, car)
    keys = [job.key for job in jobs]
    assert len(set(keys)) == len(keys)
    assert all(set(job.first) <= set(keys[:at]) for at, job in enumerate(jobs))


@given(FINDINGS, CARS)
def test_every_repair_fits_the_car_and_clears_what_it_says(
    findings: list[Found], car: CarFacts
) -> None:
    known = {one.id: one for one in findings}
    for job in propose(findings, OPERATIONS, car)[0]:
        assert job.operation.fits(car)
        for one in (known[at] for at in job.findings):
            assert job.operation.clears_what(one.criterion, one.reason)
            assert set(job.operation.served(one.position) or ()) <= set(job.places)


@given(FINDINGS, CARS)
def test_nothing_follows_but_from_a_repair_that_is_proposed(
    findings: list[Found], car: CarFacts
) -> None:
    jobs, _ = propose(findings, OPERATIONS, car)
    brought = {code for job in jobs for code in job.operation.brings}
    assert {job.key for job in jobs if not job.findings} <= brought
