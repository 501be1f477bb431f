from __future__ import annotations

import inspect

import pytest
from django.conf import settings
from django.utils.module_loading import import_string

from program.work import SCHEDULES, WORK


def test_the_settings_name_the_work_and_its_schedules() -> None:
    assert import_string(settings.JOB_WORK) is WORK
    assert import_string(settings.JOB_SCHEDULES) is SCHEDULES


@pytest.mark.parametrize("kind", WORK)
def test_each_kind_of_work_takes_a_payload_and_a_program(kind: str) -> None:
    assert len(inspect.signature(WORK[kind]).parameters) == 2


def test_what_is_scheduled_is_known() -> None:
    assert {schedule.kind for schedule in SCHEDULES} <= set(WORK)


def test_nothing_is_scheduled_twice() -> None:
    kinds = [schedule.kind for schedule in SCHEDULES]
    assert sorted(kinds) == sorted(set(kinds))
