"""`manage.py demo`: the whole of it with an invented charity, from nothing to an open site."""

from __future__ import annotations

import datetime as dt
import socket
import sys
from contextlib import contextmanager
from pathlib import Path
from threading import Event, Thread
from typing import TYPE_CHECKING, Any, Final
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.core.servers.basehttp import get_internal_wsgi_application, run
from django.db import OperationalError, connection, transaction
from django.utils import timezone
from rich.console import Console
from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn
from rich.table import Table
from rich.text import Text

from program.cases.models import Case
from program.importing.actions import import_folder
from program.importing.shifting import weeks_from, write_shifted
from program.importing.states import ImportState
from program.management.demo_books import make_books
from program.management.demo_people import SIGN_INS, make_people
from program.planning.queries import newest_plan
from program.planning.sheet import week_sheet
from program.planning.terminal import print_week
from program.status.actions import give_page
from program.work import WORK
from shared.accounts.models import Program, User
from shared.audit import triggers
from shared.dates import plan_week
from shared.jobs.models import Job
from shared.jobs.runner import run_due, run_forever
from shared.jobs.states import JobState
from shared.links.queries import link_url

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from django.core.management.base import CommandParser

SHEETS: Final = Path(settings.BASE_DIR) / "fixtures" / "demo"
BANK: Final = Path(settings.BASE_DIR) / "fixtures" / "bank"  # what the bank sends, to be read in
BANK_FOLDER: Final = "demo-bank"
BASE_MONDAY: Final = dt.date(2026, 11, 30)
ZONE: Final = ZoneInfo("America/New_York")  # of the sheet `program`
SHOWN_CASE: Final = "26-041"  # whose household's page is shown by its private link
HOST: Final = "127.0.0.1"
FIRST_PORT, PORTS, LAST_PORT = 8000, 20, 65535
MIGRATIONS: Final = "django_migrations"
INTERRUPTED: Final = 130  # what a shell expects of a command that Ctrl-C ended


class Command(BaseCommand):
    help = "Load the invented charity, compute its week, and open the site."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", type=int, help="port of the site; else a free one from 8000")
        parser.add_argument("--no-site", action="store_true", help="stop after printing the week")
        parser.add_argument("--reset", action="store_true", help="forget the demonstration first")

    def handle(self, *args: Any, **options: Any) -> None:
        stream: Any = self.stdout._out  # noqa: SLF001 (the stream itself, without Django's styles)
        self.console = Console(file=stream, highlight=False)
        try:
            self._run(port=options["port"], site=not options["no_site"], reset=options["reset"])
        except KeyboardInterrupt:
            self.console.print("Stopped. The same command goes on from here.")
            sys.exit(INTERRUPTED)

    def _run(self, *, port: int | None, site: bool, reset: bool) -> None:
        _refuse_production()
        _refuse_other_data()
        port = _asked_port(port) if port is not None else _free_port()
        settings.SITE_URL = f"http://localhost:{port}"  # links in mail lead to this very site
        with self._step("Setting up the database"):
            call_command("migrate", verbosity=0)
            if reset:
                _forget()
        program = self._load()
        self._compute(program)
        self._print_ways_in(program)
        if site:
            self._open(port)

    @contextmanager
    def _step(self, words: str) -> Iterator[Callable[[str], None]]:
        """Show what takes long and for how long; where no terminal is, say it in one line."""
        if not self.console.is_terminal:
            self.console.print(f"{words} …")
        columns = (SpinnerColumn(), TextColumn("{task.description}"), TimeElapsedColumn())
        hidden = not self.console.is_terminal
        with Progress(*columns, console=self.console, transient=True, disable=hidden) as progress:
            task = progress.add_task(words, total=None)
            yield lambda text: progress.update(task, description=text)

    def _load(self) -> Program:
        """Bring the sheets in through the real importer; what is known already stays as it is."""
        program = Program.objects.first()
        folder = Path(settings.VAR_DIR) / "demo-sheets"
        begun = program.made_at if program else timezone.now()
        week = plan_week(begun.astimezone(ZONE).date())
        weeks = weeks_from(BASE_MONDAY, week)
        write_shifted(SHEETS, folder, weeks=weeks)
        write_shifted(BANK, Path(settings.VAR_DIR) / BANK_FOLDER, weeks=weeks)
        with self._step("Checking the sheets") as tell, transaction.atomic():
            imported = import_folder(
                folder,
                program=program,
                by=None,
                progress=lambda sheet, done, total: tell(
                    f"Checking {sheet.replace('_', ' ')}: {done} of {total}"
                ),
            )
            if imported.state != ImportState.DONE:
                raise CommandError(
                    "The demonstration that is there came from other sheets. "
                    "Start it anew with --reset."
                )
            program = imported.program
            Program.objects.filter(pk=program.pk).update(is_demo=True)
            make_people(program)
            make_books(program)
        new = sum(count["new"] for count in imported.counts.values())
        known = sum(count["known"] for count in imported.counts.values())
        self.console.print(f"Sheets: {new:,} rows new, {known:,} known.")
        return program

    def _compute(self, program: Program) -> None:
        """Run the jobs that are due, and print the week they lead to."""
        # A start that was killed left its job under a lease, which nobody holds any more.
        Job.objects.filter(state=JobState.RUNNING).update(lease_until=timezone.now())
        with self._step("Ranking the repairs and choosing the cars that can go home"):
            run_due(WORK)
        plan = newest_plan(program)
        if plan is None or not plan.result:
            waits = Job.objects.filter(program=program).exclude(error="").first()
            reason = f" The job says: {waits.error}" if waits else ""
            raise CommandError(f"The week could not be computed.{reason}")
        print_week(self.console, week_sheet(plan))

    def _print_ways_in(self, program: Program) -> None:
        table = Table.grid(padding=(0, 2))
        for person in SIGN_INS:
            table.add_row(f"  {person.username}", person.password, person.about)
        self._say("The site: ", settings.SITE_URL)
        self.console.print("Sign in as")
        self.console.print(table)
        if address := _household_page(program):
            self._say("A household's page, by private link:\n  ", address)
        self._say("Mail is kept in ", _short(settings.MAIL_FOLDER), " and shown in the app.")
        self._say("A bank's statement lies in ", _short(Path(settings.VAR_DIR) / BANK_FOLDER), ".")
        self._say("The sheets lie in ", _short(Path(settings.VAR_DIR) / "demo-sheets"), ".")

    def _say(self, before: str, what: str, after: str = "") -> None:
        """Print an address or a folder in one piece, so that it can be copied."""
        self.console.print(Text.assemble(before, (what, "bold"), after), soft_wrap=True)

    def _open(self, port: int) -> None:
        """Run the worker beside the site until a person stops it."""
        Path(settings.STATIC_ROOT).mkdir(exist_ok=True)  # its absence would be warned of
        stop = Event()
        worker = Thread(target=run_forever, args=(stop,), daemon=True)
        worker.start()
        try:
            run(
                HOST,
                port,
                get_internal_wsgi_application(),
                threading=True,
                on_bind=self._say_that_it_is_open,
            )
        except KeyboardInterrupt:
            self.console.print("The site is closed.")
        except OSError as error:
            raise CommandError(f"The site can't be opened on port {port}: {error}.") from error
        finally:
            stop.set()
            worker.join(timeout=5)

    def _say_that_it_is_open(self, _port: str) -> None:
        self.console.print("It is open. Stop it with Ctrl-C; what you did is there next time.")
        self.stdout.flush()


def _refuse_production() -> None:
    if settings.PRODUCTION:
        raise CommandError(
            "The passwords of the demonstration are public, so it doesn't run with "
            "HANDBACK_PRODUCTION set. Nothing was touched."
        )


def _refuse_other_data() -> None:
    """Refuse a database that holds anything but the demonstration, or a part of it."""
    try:
        tables = set(connection.introspection.table_names())
    except OperationalError as error:
        raise CommandError(f"The database can't be opened: {error}") from error
    ours = {*connection.introspection.django_table_names(), MIGRATIONS}
    if tables - ours:
        raise CommandError("This database holds something else. Nothing was touched.")
    if Program._meta.db_table not in tables:
        return
    others = Program.objects.filter(is_demo=False).exists()
    if others or (User.objects.exists() and not Program.objects.exists()):
        raise CommandError(
            "This database holds a real program, so the demonstration stays away from it. "
            "Leave DATABASE_URL and HANDBACK_VAR unset: the demonstration has its own folder."
        )


def _forget() -> None:
    triggers.remove(connection)
    call_command("flush", interactive=False, verbosity=0)
    triggers.install(connection)


def _household_page(program: Program) -> str:
    """Return the address of one household's page; empty when it may have none any more."""
    case = Case.objects.filter(program=program, number=SHOWN_CASE).first()
    try:
        return link_url(give_page(case=case, by=None)) if case else ""
    except ValidationError:
        return ""


def _short(path: Path) -> str:
    """Return a folder as seen from where the command was typed, where that is shorter."""
    here = Path.cwd()
    return str(path.relative_to(here) if path.is_relative_to(here) else path)


def _is_free(port: int) -> bool:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError:
            return False
    return True


def _asked_port(port: int) -> int:
    if not 1 <= port <= LAST_PORT:
        raise CommandError(f"A port is a number from 1 to {LAST_PORT}.")
    if not _is_free(port):
        raise CommandError(f"Port {port} is taken. Name another with --port.")
    return port


def _free_port() -> int:
    for port in range(FIRST_PORT, FIRST_PORT + PORTS):
        if _is_free(port):
            return port
    last = FIRST_PORT + PORTS - 1
    raise CommandError(f"Ports {FIRST_PORT} to {last} are taken. Name another with --port.")
