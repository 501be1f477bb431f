"""The Celery app, used only where REDIS_URL is set.

    celery -A program.celery worker --beat

Redis carries nudges and nothing else; losing it, or killing a worker, loses no job.
"""

import os

from celery import Celery
from django.conf import settings

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "program.settings")

ROOMS_WITH_TASKS = ["shared.jobs"]

app = Celery("handback")
app.conf.update(
    broker_url=settings.REDIS_URL or None,
    broker_connection_retry_on_startup=True,
    broker_transport_options={
        # Longer than task_time_limit: a message is given to a second worker after so many seconds.
        "visibility_timeout": 300,
        "unacked_restore_interval": 10,
        # The default of 10 looks for lost messages only at each tenth turn.
        "unacked_restore_throttle": 1,
        "socket_connect_timeout": 2,
        "socket_timeout": 5,
        "socket_keepalive": True,
        "health_check_interval": 25,
    },
    task_acks_late=True,
    task_reject_on_worker_lost=True,
    worker_prefetch_multiplier=1,
    # Below the lease of a job (JOB_LEASE_SECONDS).
    task_time_limit=90,
    task_soft_time_limit=75,
    task_publish_retry=True,
    # One quick retry: `retry=False` would let redis-py try for 6 s while somebody waits for a page.
    task_publish_retry_policy={
        "max_retries": 1,
        "interval_start": 0,
        "interval_step": 0.2,
        "interval_max": 0.2,
    },
    task_ignore_result=True,
    result_backend=None,
    worker_cancel_long_running_tasks_on_connection_loss=True,
    worker_soft_shutdown_timeout=20,
    worker_max_tasks_per_child=200,
    accept_content=["json"],
    beat_schedule={
        "tick": {"task": "shared.jobs.tick", "schedule": 30.0, "options": {"expires": 30}}
    },
)
app.autodiscover_tasks(ROOMS_WITH_TASKS)
