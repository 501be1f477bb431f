"""Calls that begin together, each in a thread and on a connection of its own."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import connection

if TYPE_CHECKING:
    from collections.abc import Callable


def at_once(*calls: Callable[[], object]) -> list[str]:
    """Make calls from threads that start together; return the sentences of those refused."""
    start = Barrier(len(calls))

    def one(call: Callable[[], object]) -> str:
        start.wait()
        try:
            call()
        except ValidationError as refusal:
            return refusal.messages[0]
        finally:
            connection.close()
        return ""

    with ThreadPoolExecutor(len(calls)) as threads:
        return [sentence for sentence in threads.map(one, calls) if sentence]
