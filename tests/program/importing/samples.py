"""Sheets for tests: one car of the templates with rows changed, and thousands of rows."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Any

from program.importing.sheets import SHEETS, template
from vehicles.intake import vin

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from pathlib import Path

    from program.importing.check import Checked
    from program.importing.models import ImportRun

Rows = list[dict[str, str]]


def example(name: str, /, **cells: str) -> dict[str, str]:
    """Return the example row of a sheet with some cells changed."""
    row = {column.name: column.example for column in SHEETS[name].columns}
    unknown = set(cells) - set(row)
    assert not unknown, unknown
    return row | cells


def sheet(name: str, rows: Iterable[Mapping[str, str]]) -> bytes:
    """Return rows as the bytes of a sheet."""
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, SHEETS[name].names, lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue().encode()


def templates(**changed: bytes | None) -> dict[str, bytes]:
    """Return all templates with their example rows; a sheet may be replaced, or None to go."""
    whole = {name: template(one).encode() for name, one in SHEETS.items()} | changed
    return {name: content for name, content in whole.items() if content is not None}


def with_cells(name: str, /, **cells: str) -> dict[str, bytes]:
    """Return all templates, the one row of a sheet changed in some cells."""
    return templates(**{name: sheet(name, [example(name, **cells)])})


def folder(path: Path, contents: Mapping[str, bytes]) -> Path:
    """Write sheets into a folder and return it."""
    path.mkdir(parents=True, exist_ok=True)
    for name, content in contents.items():
        (path / f"{name}.csv").write_bytes(content)
    return path


def told(checked: Checked) -> list[tuple[str, int, str, str]]:
    """Return each fault as sheet, row, column and sentence."""
    return [(one.sheet, one.row, one.column, one.sentence) for one in checked.faults]


def many(cars: int) -> dict[str, bytes]:
    """Return sheets of so many cars with 25 rows each, beside the one of the templates."""
    rows: dict[str, Rows] = {
        name: []
        for name in (
            "households",
            "vehicles",
            "owners",
            "cases",
            "readings",
            "findings",
            "repair_items",
            "parts",
        )
    }
    for car in range(cars):
        for name, row in _car(car):
            rows[name].append(row)
    whole = {name: sheet(name, [example(name), *found]) for name, found in rows.items()}
    return templates(**whole)


def _car(car: int) -> Iterable[tuple[str, dict[str, str]]]:
    body = f"2T1BU4EE0AC{car:06}"
    number = f"{body[:8]}{vin.check_digit(body)}{body[9:]}"
    yield "households", example("households", ref=f"h-{car}")
    yield "vehicles", example("vehicles", ref=f"v-{car}", vin=number)
    yield "owners", example("owners", ref=f"o-{car}", vehicle=f"v-{car}")
    yield (
        "cases",
        example(
            "cases", ref=f"c-{car}", number=f"25-{car:03}", household=f"h-{car}", vehicle=f"v-{car}"
        ),
    )
    for place in ("LF", "RF", "LR", "RR"):
        for code, value in (("tire-tread", "2/32"), ("tire-damage", "good"), ("tire-wear", "good")):
            yield (
                "readings",
                example(
                    "readings",
                    ref=f"r-{car}-{place}-{code}",
                    case=f"c-{car}",
                    criterion=code,
                    position=place,
                    value=value,
                    unit="",
                ),
            )
    for n in range(3):
        yield "findings", example("findings", ref=f"f-{car}-{n}", case=f"c-{car}")
        yield (
            "repair_items",
            example(
                "repair_items",
                ref=f"i-{car}-{n}",
                case=f"c-{car}",
                clears=f"f-{car}-{n}",
                needs_first=f"i-{car}-{n - 1}" if n else "",
            ),
        )
        yield "parts", example("parts", ref=f"n-{car}-{n}", item=f"i-{car}-{n}")


def sheet_import(path: Path, contents: Mapping[str, bytes], **options: Any) -> ImportRun:
    """Import sheets as the command does, into the program that is there."""
    from program.importing.actions import import_folder  # noqa: PLC0415 (needs Django set up)
    from shared.accounts.models import Program  # noqa: PLC0415

    sheets = folder(path / f"sheets{len(list(path.iterdir()))}", contents)
    return import_folder(sheets, **{"program": Program.objects.first(), "by": None} | options)


#: Tables that tell of imports; refusing one writes there and nowhere else.
_OF_THE_IMPORT = {"ImportRun", "Event", "Job"}


def counted() -> dict[str, int]:
    """Return how many rows each table holds, but those that tell of imports."""
    from django.apps import apps  # noqa: PLC0415 (needs Django set up)

    ours = [apps.get_app_config(name) for name in ("shared", "vehicles", "sponsors", "program")]
    return {
        model.__name__: model._default_manager.count()
        for app in ours
        for model in app.get_models()
        if model.__name__ not in _OF_THE_IMPORT
    }
