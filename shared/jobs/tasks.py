"""What Celery calls. No task takes an argument: the job table says what is to be done."""

from __future__ import annotations

from celery import shared_task
from django.conf import settings
from django.utils import timezone
from django.utils.module_loading import import_string

from shared.jobs import nudge, runner
from shared.jobs.models import Job

MOST_NUDGES = 50


@shared_task(name=nudge.WORK)
def work() -> int:
    """Run one due job, so that the time limit of a task is that of a job."""
    return runner.run_due(import_string(settings.JOB_WORK), limit=1)


@shared_task(name="shared.jobs.tick")
def tick() -> int:
    """Ask for recurring work, then wake workers for all that is due: a lost nudge is made good."""
    asked = runner.tick()
    for _ in range(min(Job.objects.due(timezone.now()).count(), MOST_NUDGES)):
        nudge.worker()
    return asked
