"""`manage.py demo`: the whole of it with an invented charity, from nothing to an open site."""

from __future__ import annotations

import datetime as dt
import socket
from pathlib import Path
from threading import Event, Thread
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection, transaction
from django.utils import timezone
from rich.console import Console
from rich.table import Table

from program.cases.models import Case
from program.importing.actions import import_folder
from program.importing.shifting import weeks_from, write_shifted
from program.importing.states import ImportState
from program.management.demo_people import SIGN_INS, make_people
from program.planning.queries import newest_plan
from program.planning.sheet import week_sheet
from program.planning.terminal import print_week
from program.status.actions import give_page
from program.work import WORK
from shared.accounts.models import Program
from shared.audit import triggers
from shared.dates import plan_week
from shared.jobs.runner import run_due, run_forever
from shared.links.queries import link_url

if TYPE_CHECKING:
    from django.core.management.base import CommandParser

SHEETS = Path(settings.BASE_DIR) / "fixtures" / "demo"
BASE_MONDAY = dt.date(2026, 11, 30)
HOST = "127.0.0.1"
FIRST_PORT = 8000
PORTS = 20


class Command(BaseCommand):
    help = "Load the invented charity, compute its week, and open the site."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", type=int, help="port of the site; else a free one from 8000")
        parser.add_argument("--no-site", action="store_true", help="stop after printing the week")
        parser.add_argument("--reset", action="store_true", help="forget the demonstration first")

    def handle(self, *args: Any, **options: Any) -> None:
        stream: Any = self.stdout._out  # noqa: SLF001 (the stream itself, without Django's styles)
        self.console = Console(file=stream, highlight=False)
        self._refuse_other_data()
        if options["reset"]:
            self._forget()
        port = options["port"] or _free_port()
        settings.SITE_URL = f"http://localhost:{port}"  # links in mail lead to this very site
        with self.console.status("Setting up the database"):
            call_command("migrate", verbosity=0)
        program = self._load()
        with self.console.status("Ranking the repairs and choosing the cars that can go home"):
            run_due(WORK)
        plan = newest_plan(program)
        if plan and plan.result:
            print_week(self.console, week_sheet(plan))
        self._print_ways_in(program)
        if not options["no_site"]:
            self._open(port)

    def _refuse_other_data(self) -> None:
        """Refuse a database that holds anything but the demonstration."""
        tables = set(connection.introspection.table_names())
        if not tables:
            return
        if Program._meta.db_table not in tables:
            raise CommandError("This database holds something else. Nothing was touched.")
        if Program.objects.filter(is_demo=False).exists():
            raise CommandError(
                "This database holds a real program, so the demonstration stays away from it. "
                "Leave DATABASE_URL and HANDBACK_VAR unset: the demonstration has its own folder."
            )

    def _forget(self) -> None:
        with self.console.status("Forgetting the demonstration"):
            call_command("migrate", verbosity=0)
            triggers.remove(connection)
            call_command("flush", interactive=False, verbosity=0)
            triggers.install(connection)

    def _load(self) -> Program:
        """Bring the sheets in through the real importer; what is known already stays as it is."""
        program = Program.objects.first()
        folder = Path(settings.VAR_DIR) / "demo-sheets"
        if program is None:
            today = timezone.localdate()
            write_shifted(SHEETS, folder, weeks=weeks_from(BASE_MONDAY, plan_week(today)))
        with self.console.status("Checking the sheets") as status, transaction.atomic():
            run = import_folder(
                folder,
                program=program,
                by=None,
                progress=lambda sheet, done, total: status.update(
                    f"Checking {sheet.replace('_', ' ')}: {done} of {total}"
                ),
            )
            if run.state != ImportState.DONE:
                raise CommandError(f"The sheets in {SHEETS} have problems; run manage.py import.")
            program = run.program
            Program.objects.filter(pk=program.pk).update(is_demo=True)
            make_people(program)
        new = sum(count["new"] for count in run.counts.values())
        known = sum(count["known"] for count in run.counts.values())
        self.console.print(f"Sheets: {new:,} rows new, {known:,} known.")
        return program

    def _print_ways_in(self, program: Program) -> None:
        table = Table(box=None, padding=(0, 2, 0, 0), show_header=False)
        for person in SIGN_INS:
            table.add_row(f"  {person.username}", person.password, person.about)
        self.console.print(f"The site: [bold]{settings.SITE_URL}[/]. Sign in as")
        self.console.print(table)
        case = Case.objects.filter(program=program, number="26-041").first()
        if case:
            link = give_page(case=case, by=None)
            self.console.print(f"A household's page, by private link: {link_url(link)}")
        self.console.print(f"Mail is kept in {settings.MAIL_FOLDER} and shown in the app.")

    def _open(self, port: int) -> None:
        """Run the worker beside the site until a person stops it."""
        stop = Event()
        worker = Thread(target=run_forever, args=(stop,), daemon=True)
        worker.start()
        self.console.print("Stop with Ctrl-C. What you did is there again next time.")
        try:
            call_command("runserver", f"{HOST}:{port}", use_reloader=False, verbosity=0)
        finally:
            stop.set()
            worker.join(timeout=5)


def _free_port() -> int:
    for port in range(FIRST_PORT, FIRST_PORT + PORTS):
        with socket.socket() as probe:
            if probe.connect_ex((HOST, port)):
                return port
    last = FIRST_PORT + PORTS - 1
    raise CommandError(f"Ports {FIRST_PORT} to {last} are taken. Name another with --port.")
