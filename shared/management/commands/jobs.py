"""`manage.py jobs`: the embedded queue as a process of its own, for a small site without Redis."""

from __future__ import annotations

import signal
from threading import Event
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandParser
from django.utils.module_loading import import_string

from shared.jobs.runner import LANES, POLL_SECONDS, run_due, run_forever, tick


class Command(BaseCommand):
    help = "Run background jobs until stopped, or with --once all that are due now."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--once", action="store_true", help="Run what is due, then end.")
        parser.add_argument("--lanes", type=int, default=LANES, help="Jobs beside each other.")
        parser.add_argument("--poll", type=float, default=POLL_SECONDS, help="Seconds of rest.")

    def handle(self, *_args: Any, once: bool, poll: float, lanes: int, **_options: Any) -> None:
        if once:
            tick()
            ran = run_due(import_string(settings.JOB_WORK))
            self.stdout.write(f"{ran} {'job was' if ran == 1 else 'jobs were'} run.")
            return
        stop = Event()
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, lambda *_: stop.set())
        self.stdout.write("The queue runs. Stop it with Ctrl-C.")
        run_forever(stop, poll, lanes)
