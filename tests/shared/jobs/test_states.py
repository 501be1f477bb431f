from __future__ import annotations

from itertools import pairwise

from shared.jobs.states import LONGEST_WAIT_MINUTES, MAX_ATTEMPTS, retry_minutes


def test_a_failed_job_waits_twice_as_long_each_time() -> None:
    assert [retry_minutes(attempts) for attempts in range(1, MAX_ATTEMPTS)] == [
        *(2, 4, 8, 16, 32, 64, 128)
    ]


def test_no_wait_is_longer_than_six_hours() -> None:
    waits = [retry_minutes(attempts) for attempts in range(200)]
    assert (max(waits), LONGEST_WAIT_MINUTES) == (360, 360)
    assert [wait for wait, later in pairwise(waits) if later < wait] == []
