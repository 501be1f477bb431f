"""`manage.py import FOLDER`: a folder or zip of sheets in, all or nothing."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from django.core.management.base import BaseCommand, CommandError
from rich import box
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
from rich.table import Table

from program.importing.actions import check_folder, import_folder
from program.importing.sheets import SHEETS, template
from program.importing.states import ImportState
from shared.accounts.models import Program

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from django.core.management.base import CommandParser

SHOWN_FAULTS = 200


class Command(BaseCommand):
    help = "Bring a folder or zip of CSV sheets in, all or nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("folder", nargs="?", type=Path, help="folder or zip of CSV sheets")
        parser.add_argument("--check", action="store_true", help="check only, write nothing")
        parser.add_argument(
            "--leave-out",
            action="append",
            default=[],
            metavar="SHEET:REF",
            help="leave a row out, such as households:h7; may be given often",
        )
        parser.add_argument(
            "--templates", metavar="DIR", type=Path, help="write a template of each sheet"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        # A test's or a caller's stream is used; a terminal gets its colors and its width.
        stream: Any = self.stdout._out  # noqa: SLF001 (the stream itself, without Django's styles)
        self.console = Console(file=stream, highlight=False)
        if options["templates"]:
            self._write_templates(options["templates"])
            return
        if not options["folder"]:
            raise CommandError("Name a folder or zip of sheets, or --templates and a folder.")
        try:
            self._bring_in(options["folder"], options["leave_out"], check=options["check"])
        except ValueError as error:
            raise CommandError(str(error)) from error

    def _write_templates(self, folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        for sheet in SHEETS.values():
            path = folder / f"{sheet.name}.csv"
            path.write_text(template(sheet), encoding="utf-8", newline="")
        self.console.print(f"{len(SHEETS)} templates are in {folder}.")

    def _bring_in(self, folder: Path, leave_out: Sequence[str], *, check: bool) -> None:
        program = Program.objects.first()
        bar = Progress(
            TextColumn("Checking {task.description}"),
            BarColumn(),
            MofNCompleteColumn(),
            console=self.console,
            transient=True,
        )
        with bar:
            task = bar.add_task("the sheets", total=None)

            def tell(sheet: str, done: int, total: int) -> None:
                title = SHEETS[sheet].title.lower()
                bar.update(task, description=title, completed=done, total=total)

            if check:
                found = check_folder(folder, program=program, leave_out=leave_out, progress=tell)
                faults = [fault.as_dict() for fault in found.faults]
                counts: Mapping[str, Any] = found.counts
                last = "Nothing was written: this was a check."
            else:
                run = import_folder(
                    folder, program=program, by=None, leave_out=leave_out, progress=tell
                )
                faults, counts = run.problems, run.counts
                last = _last_word(run.state, counts)
        self._show(folder.name, faults, counts, last)

    def _show(
        self,
        name: str,
        faults: Sequence[Mapping[str, Any]],
        counts: Mapping[str, Any],
        last: str,
    ) -> None:
        if faults:
            self.console.print(_fault_table(faults[:SHOWN_FAULTS]))
            more = len(faults) - SHOWN_FAULTS
            if more > 0:
                self.console.print(f"… and {more:,} more.")
            word = "problem" if len(faults) == 1 else "problems"
            raise CommandError(f"{name}: {len(faults):,} {word}. Nothing was written.")
        self.console.print(_count_table(name, counts))
        for count in counts.values():
            for note in count.get("notes", ()):
                self.console.print(note)
        self.console.print(last)


def _last_word(state: str, counts: Mapping[str, Any]) -> str:
    new = sum(count["new"] for count in counts.values())
    if state != ImportState.DONE:
        return "Nothing was written."
    return f"{new:,} rows were written." if new else "Nothing is new; nothing was changed."


def _count_table(name: str, counts: Mapping[str, Any]) -> Table:
    table = Table(title=name, title_justify="left", box=box.SIMPLE_HEAD)
    table.add_column("Sheet")
    for head in ("New", "Known", "Left out"):
        table.add_column(head, justify="right")
    for sheet, count in counts.items():
        figures = (count["new"], count["known"], count["left_out"])
        table.add_row(
            SHEETS[sheet].title, *(f"{figure:,}" if figure else "–" for figure in figures)
        )
    return table


def _fault_table(faults: Sequence[Mapping[str, Any]]) -> Table:
    table = Table(box=box.SIMPLE_HEAD)
    table.add_column("Where", no_wrap=True)
    table.add_column("Value", max_width=24)
    table.add_column("What is wrong, and what to do")
    for fault in faults:
        row = f" row {fault['row']}" if fault["row"] else ""
        where = f"{fault['sheet']}{row}\n{fault['column']}"
        told = f"{fault['sentence']}\n{fault['remedy']}"
        table.add_row(where, str(fault["value"]), told)
    return table
