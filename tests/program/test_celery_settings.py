from __future__ import annotations

from typing import TYPE_CHECKING

from program.celery import app

if TYPE_CHECKING:
    from pytest_django import Settings


def test_a_task_ends_before_its_lease_and_the_lease_before_redis_gives_it_away(
    settings: Settings,
) -> None:
    redis_waits = app.conf.broker_transport_options["visibility_timeout"]
    limits = [
        app.conf.task_soft_time_limit,
        app.conf.task_time_limit,
        settings.JOB_LEASE_SECONDS,
        redis_waits,
    ]
    assert limits == sorted(set(limits))


def test_a_message_is_kept_until_its_task_is_done() -> None:
    kept = (app.conf.task_acks_late, app.conf.task_reject_on_worker_lost)
    assert (kept, app.conf.worker_prefetch_multiplier) == ((True, True), 1)


def test_the_beat_calls_a_task_that_workers_know() -> None:
    app.loader.import_default_modules()
    called = {entry["task"] for entry in app.conf.beat_schedule.values()}
    assert called == {"shared.jobs.tick"}
    assert called <= set(app.tasks)
