from __future__ import annotations

from shared.jobs.states import JobState
from shared.jobs.tables import WORDS, JobTable


def test_kind_and_state_are_words() -> None:
    table = JobTable([{"kind": "send_message", "state": "pending"}])
    cells = table.rows[0]
    assert (cells.get_cell("kind"), cells.get_cell("state")) == ("Send message", "waits")
    assert set(WORDS) == set(JobState)
