"""`manage.py try_diagnosis`: what the advice on the next check saves, on cars drawn by chance."""

from __future__ import annotations

import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

from django.core.management.base import BaseCommand, CommandError
from rich.console import Console
from rich.padding import Padding
from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

from program.management.commands.demo import INTERRUPTED
from program.planning.terminal import WIDEST
from shared.policy.defaults import DEFAULTS
from vehicles.diagnosis.complaints import load
from vehicles.diagnosis.deciding import Terms
from vehicles.diagnosis.setups import load as load_setups
from vehicles.diagnosis.simulation import drawn_car, is_right, misread, try_out
from vehicles.diagnosis.textbook import Way

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django.core.management.base import CommandParser

    from vehicles.diagnosis.fault_model import FaultModel
    from vehicles.diagnosis.simulation import Car, Trial

CARS: Final = 1000
#: Widths: checks of each way, minutes and dollars saved, shares of each way.
WIDTHS: Final = (5, 5, 5, 8, 14, 5, 4, 5, 5, 4, 5)
NAMES: Final = ("adv.", "text", "proof")
LEGEND: Final = """\
adv.: as advised. text: the checks as they stand in the model, with the same rule for when to stop \
and what is confirmed. proof: as they stand until one proves a part; nothing is weighed.
Saved on average of a car, work and money together, ± one standard error. Right: all was found, or \
handed over where it is not listed, and nothing sound was blamed. Wrong: something sound was. The \
rest was handed to the specialist although the cause is listed."""


class Command(BaseCommand):
    help = "Try the advice on the next check: cars drawn by chance, gone through in three ways."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--cars", type=int, default=CARS, help="cars of each complaint")
        parser.add_argument(
            "--complaint",
            action="append",
            metavar="CODE",
            help="a complaint, such as overheats; may be given often; else all that are shipped",
        )
        parser.add_argument(
            "--steps", type=int, choices=(1, 2), default=1, help="steps that the advice looks ahead"
        )
        parser.add_argument("--seed", type=int, default=1, help="another seed, other cars")
        parser.add_argument(
            "--misread", action="store_true", help="one check of each car shows a wrong outcome"
        )
        parser.add_argument(
            "--rate",
            type=int,
            default=DEFAULTS["shop_hour_cents"],
            help="cents that an hour in the shop is worth",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        stream: Any = self.stdout._out  # noqa: SLF001 (the stream itself, without Django's styles)
        self.console = Console(file=stream, highlight=False)
        if options["cars"] < 1 or options["seed"] < 0:
            raise CommandError("At least one car, and a seed that is not negative.")
        models = _models(options["complaint"] or list(load()))
        self._print(_heading(options), "", *_head())
        try:
            for model in models:
                self._try(model, options)
        except KeyboardInterrupt:
            self.console.print("Stopped. The lines above are complete.")
            sys.exit(INTERRUPTED)
        self._print(Rule(style="dim"), LEGEND)

    def _try(self, model: FaultModel, options: dict[str, Any]) -> None:
        """Print the line of one complaint."""
        with self._step(model.title):
            cars = [
                _car(model, options["seed"], number, is_misread=options["misread"])
                for number in range(options["cars"])
            ]
            terms = Terms(rate=options["rate"], setups=load_setups())
            trial = try_out(model, terms, cars, steps=options["steps"])
        # A title on a line of its own: eighty columns have no room beside the figures.
        self._print(Text(model.title), _line("", *_figures(trial)))
        if options["misread"]:
            self._print(Padding(Text(_misled(trial), style="dim"), (0, 0, 0, 2)))

    @contextmanager
    def _step(self, words: str) -> Iterator[None]:
        columns = (SpinnerColumn(), TextColumn("{task.description}"), TimeElapsedColumn())
        hidden = not self.console.is_terminal
        with Progress(*columns, console=self.console, transient=True, disable=hidden) as progress:
            progress.add_task(words, total=None)
            yield

    def _print(self, *parts: Any) -> None:
        for part in parts:
            self.console.print(part, width=min(self.console.width, WIDEST))


def _models(codes: list[str]) -> list[FaultModel]:
    shipped = load()
    if unknown := [code for code in codes if code not in shipped]:
        known = ", ".join(sorted(shipped))
        raise CommandError(f"No complaint “{unknown[0]}” is shipped. There are: {known}.")
    return [shipped[code] for code in codes]


def _car(model: FaultModel, seed: int, number: int, *, is_misread: bool) -> Car:
    car = drawn_car(model, seed, number)
    return misread(model, car, seed, number) if is_misread else car


def _heading(options: dict[str, Any]) -> Text:
    ahead = "one step" if options["steps"] == 1 else "two steps"
    cars = f"{options['cars']:,} cars of each complaint"
    return Text(f"{cars}, seed {options['seed']}, advice {ahead} ahead", style="bold")


def _head() -> tuple[Table, Table, Rule]:
    above = Table.grid(padding=(0, 1), expand=True)
    above.add_column(ratio=1)
    for first, last in ((0, 3), (3, 5), (5, 8), (8, 11)):
        above.add_column(width=sum(WIDTHS[first:last]) + last - first - 1, justify="right")
    titles = ("", "checks", "saved on textbook", "right %", "wrong %")
    above.add_row(*(Text(title, style="dim") for title in titles))
    return above, _line("", *NAMES, "minutes", "dollars", *NAMES, *NAMES), Rule(style="dim")


def _line(*cells: str) -> Table:
    """Return a line of all columns; all lines have the same widths."""
    line = Table.grid(padding=(0, 1), expand=True)
    line.add_column(ratio=1)
    for width in WIDTHS:
        line.add_column(width=width, justify="right")
    line.add_row(*(Text(cell) for cell in cells))
    return line


def _figures(trial: Trial) -> tuple[str, ...]:
    tallies = [trial.tally(way) for way in Way]
    saved = trial.saved(Way.TEXTBOOK)
    return (
        *(f"{one.checks:.1f}" for one in tallies),
        f"{saved.minutes:.0f}",
        f"{saved.dollars:.2f} ± {saved.error:.2f}",
        *(f"{one.right * 100:.0f}" for one in tallies),
        *(f"{one.wrong * 100:.0f}" for one in tallies),
    )


def _misled(trial: Trial) -> str:
    """Return how those cars ended on which the wrong reading was met."""
    met = trial.misled(Way.ADVISED)
    right = sum(map(is_right, met.cars, met.runs[Way.ADVISED]))
    return f"The wrong reading was met in {len(met.cars):,} cars; {right:,} of them ended right."
