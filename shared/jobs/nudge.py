"""Waking a worker. Losing a nudge loses nothing: what is to be done stands in the job table."""

from __future__ import annotations

import logging
import time

from django.conf import settings
from django.utils.module_loading import import_string

log = logging.getLogger("handback.jobs")

REST_SECONDS = 30.0  # after a failure, so that a dead broker slows down nobody's page
WORK = "shared.jobs.work"

_rest = {"until": 0.0}


def worker() -> bool:
    """Wake one worker; return whether the broker took the message.

    Does nothing without REDIS_URL (the embedded queue polls), nor within half a minute of a
    failure. Celery is imported only here and in the worker.
    """
    if not settings.REDIS_URL or time.monotonic() < _rest["until"]:
        return False
    from kombu.exceptions import OperationalError  # noqa: PLC0415  # the embedded queue needs none
    from redis.exceptions import RedisError  # noqa: PLC0415  # the same

    try:
        import_string(settings.JOB_BROKER).send_task(WORK)
    except (OperationalError, RedisError, OSError) as error:
        _rest["until"] = time.monotonic() + REST_SECONDS
        log.warning(
            "No worker could be woken: %s. The sweep will find the job.", type(error).__name__
        )
        return False
    return True


def try_again() -> None:
    """Forget a failure, so that the next nudge asks the broker."""
    _rest["until"] = 0.0
