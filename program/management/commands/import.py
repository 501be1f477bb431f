"""`manage.py import FOLDER`: sheets in, all or nothing."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from django.core.management.base import BaseCommand

from program.importing.sheets import SHEETS, template

if TYPE_CHECKING:
    from django.core.management.base import CommandParser


class Command(BaseCommand):
    help = "Bring a folder or zip of CSV sheets in, all or nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--templates", metavar="DIR", type=Path)

    def handle(self, *args: Any, **options: Any) -> None:
        folder = options["templates"]
        folder.mkdir(parents=True, exist_ok=True)
        for sheet in SHEETS.values():
            path = folder / f"{sheet.name}.csv"
            path.write_text(template(sheet), encoding="utf-8", newline="")
        self.stdout.write(f"{len(SHEETS)} templates are in {folder}.")
