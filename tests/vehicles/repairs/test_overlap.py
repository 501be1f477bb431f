"""What several jobs share counts once."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from vehicles.repairs.overlap import Job, saved, shared_access

JOBS = st.lists(
    st.tuples(st.sampled_from(["", "wheels_front", "coolant"]), st.integers(0, 90)), max_size=8
)


def job(pk: int, access: str, minutes: int) -> Job:
    return Job(id=pk, title=f"Job {pk}", access=access, minutes=minutes)


def test_the_longest_counts_and_the_others_are_saved() -> None:
    jobs = [job(3, "coolant", 15), job(1, "coolant", 25), job(2, "coolant", 10)]
    [shared] = shared_access(jobs)
    assert str(shared.sentence) == (
        "The coolant is drained once for “Job 1”, “Job 2” and “Job 3”: 25 minutes less."
    )
    assert saved(jobs) == {"coolant": 25}


def test_one_minute_is_one_minute() -> None:
    [shared] = shared_access([job(1, "dash", 1), job(2, "dash", 150)])
    assert str(shared.sentence).endswith("“Job 2”: 1 minute less.")


def test_nothing_is_shared_by_one_job_or_by_jobs_without_access() -> None:
    assert shared_access([job(1, "dash", 90), job(2, "", 0), job(3, "", 20)]) == []
    assert saved([job(1, "dash", 90), job(2, "dash", 0)]) == {}


@given(JOBS)
def test_what_is_left_is_the_longest_of_each_access(rows: list[tuple[str, int]]) -> None:
    jobs = [job(pk, access, minutes) for pk, (access, minutes) in enumerate(rows)]
    left = sum(one.minutes for one in jobs if one.access) - sum(saved(jobs).values())
    longest: dict[str, int] = {}
    for access, minutes in rows:
        if access:
            longest[access] = max(minutes, longest.get(access, 0))
    assert left == sum(longest.values())
