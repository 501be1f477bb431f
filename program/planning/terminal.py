"""The week on a terminal: what goes home, what pays, what to ask for first, why the others wait."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich import box
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from shared.dates import short_date
from shared.money import dollars, usd

if TYPE_CHECKING:
    from rich.console import Console

    from program.planning.sheet import HomeRow, WeekSheet

MINUTES_PER_HOUR = 60


def print_week(console: Console, sheet: WeekSheet) -> None:
    """Print a plan in the width of the terminal."""
    first, last = short_date(sheet.first_on), short_date(sheet.last_on)
    console.print()
    console.print(Text(f"{sheet.headline}, {first} to {last}", style="bold"))
    console.print(f"{sheet.proof} with this money, these hours and these parts.")
    console.print(_homes(sheet))
    _print_funds(console, sheet)
    _print_wanted(console, sheet)
    _print_waiting(console, sheet)


def _homes(sheet: WeekSheet) -> Table:
    table = Table(box=box.SIMPLE_HEAD, show_footer=True, padding=(0, 1), pad_edge=False)
    table.add_column("Case", footer="Together", no_wrap=True)
    table.add_column("Household, car", ratio=3)
    table.add_column("Work left", ratio=4)
    table.add_column("Need", str(sum(row.need_weight for row in sheet.homes)), justify="right")
    minutes = sum(row.minutes for row in sheet.homes)
    table.add_column("Hours", _hours(minutes), justify="right")
    table.add_column("Cash", dollars(sheet.cash_cents), justify="right")
    table.add_column("Paid by", ratio=3)
    table.add_column("Home", no_wrap=True)
    for row in sheet.homes:
        table.add_row(
            row.number,
            f"{row.household}\n[dim]{row.car}[/]",
            row.work,
            str(row.need_weight),
            _hours(row.minutes),
            dollars(row.cash_cents),
            _paid_by(row),
            row.days,
        )
    return table


def _paid_by(row: HomeRow) -> str:
    paid = (f"{name} {dollars(cents)}" for name, cents in row.paid_by)
    return "\n".join(paid) or "nothing left to pay"


def _hours(minutes: int) -> str:
    return f"{minutes // MINUTES_PER_HOUR}:{minutes % MINUTES_PER_HOUR:02}"


def _print_funds(console: Console, sheet: WeekSheet) -> None:
    console.print(Text("What pays", style="bold"))
    for fund in sheet.funds:
        name = fund.name[:1].upper() + fund.name[1:]
        words = f"{name} gives {usd(fund.plan_cents)} and has {usd(fund.left_cents)} left."
        console.print(Padding(words, (0, 0, 0, 2)))
    console.print()


def _print_wanted(console: Console, sheet: WeekSheet) -> None:
    console.print(Text("What to ask for first", style="bold"))
    for number, wanted in enumerate(sheet.wanted, start=1):
        console.print(Padding(f"{number}. {wanted.sentence}", (0, 0, 0, 2)))
    if not sheet.wanted:
        console.print(Padding("No single part would bring another car home.", (0, 0, 0, 2)))
    console.print()


def _print_waiting(console: Console, sheet: WeekSheet) -> None:
    console.print(Text("Why the others wait", style="bold"))
    for row in (*sheet.waits, *sheet.held):
        start = f"{row.number} {row.household}, need {row.need_weight}: {row.lacks.rstrip('.')}."
        console.print(Padding(start, (0, 0, 0, 2)))
        for reason in row.reasons:
            console.print(Padding(Text(reason, style="dim"), (0, 0, 0, 4)))
    console.print()
