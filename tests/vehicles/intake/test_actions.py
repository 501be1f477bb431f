"""Asking that items be ranked anew."""

from __future__ import annotations

import datetime as dt

import pytest
import time_machine

from program.work import WORK
from shared.models import Job
from tests.factories import make_intake
from vehicles.intake.actions import RANK, ask_for_ranks

pytestmark = pytest.mark.django_db


def test_all_that_changes_within_a_minute_is_ranked_once_after_it() -> None:
    stay, other = make_intake(), make_intake()
    with time_machine.travel("2026-11-30 15:00:10Z", tick=False) as clock:
        first = ask_for_ranks(stay)
        clock.shift(30)
        assert ask_for_ranks(other) == first
        clock.shift(30)
        assert ask_for_ranks(stay) != first
    assert first.run_after == dt.datetime(2026, 11, 30, 15, 1, tzinfo=dt.UTC)
    assert Job.objects.count() == 2


def test_a_worker_knows_this_kind_of_job() -> None:
    assert RANK in WORK
