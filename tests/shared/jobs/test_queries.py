from __future__ import annotations

import pytest

from shared.jobs.actions import ask
from shared.jobs.queries import jobs_for
from tests.factories import make_program, make_user

pytestmark = pytest.mark.django_db


def test_a_person_sees_the_jobs_of_the_own_program_newest_first() -> None:
    user = make_user()
    assert user.program is not None
    elsewhere = make_program(name="Elsewhere")
    for program, key in [(user.program, "one"), (elsewhere, "theirs"), (user.program, "two")]:
        ask(program=program, key=key, kind="send")
    assert [str(job) for job in jobs_for(user)] == ["two", "one"]
