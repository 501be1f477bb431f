from __future__ import annotations

import pytest

from shared.accounts.roles import RoleKind
from shared.jobs.actions import ask
from shared.jobs.queries import how_far, jobs_for
from tests.factories import make_program, make_user

pytestmark = pytest.mark.django_db


def test_a_person_sees_the_jobs_of_the_own_program_newest_first() -> None:
    user = make_user()
    assert user.program is not None
    elsewhere = make_program(name="Elsewhere")
    for program, key in [(user.program, "one"), (elsewhere, "theirs"), (user.program, "two")]:
        ask(program=program, key=key, kind="send")
    assert [str(job) for job in jobs_for(user)] == ["two", "one"]


def test_only_the_coordinator_may_have_a_job_tried_again() -> None:
    treasurer, coordinator = make_user(RoleKind.TREASURER), make_user(RoleKind.COORDINATOR)
    assert treasurer.program is not None
    job = ask(program=treasurer.program, key="one", kind="send")
    ask(program=make_program(name="Elsewhere"), key="two", kind="send")
    assert how_far(treasurer, "one") == {"job": job, "may_retry": False}
    assert how_far(coordinator, "two") == {"job": None, "may_retry": True}
