"""The week on a terminal: what goes home, what pays, what to ask for first, why the others wait."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rich.padding import Padding
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

from program.planning.wording import hours, opening
from shared.dates import short_date
from shared.money import dollars, usd

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import Console, RenderableType

    from program.planning.sheet import HomeRow, WaitRow, WeekSheet

WIDEST: Final = 100  # columns; longer lines are hard to follow
NUMBER, NEED, HOURS, CASH, HOME = 8, 4, 5, 9, 15


def print_week(console: Console, sheet: WeekSheet) -> None:
    """Print a plan in the width of the terminal, or in 100 columns of a wider one."""
    first, last = short_date(sheet.first_on), short_date(sheet.last_on)
    parts: list[RenderableType] = [
        "",
        _heading(f"{sheet.headline}, {first} to {last}"),
        Text(f"{sheet.proof} with this money, these hours and these parts."),
        "",
        *_homes(sheet),
        *_funds(sheet),
        *_wanted(sheet),
        *_waiting(sheet),
    ]
    width = min(console.width, WIDEST)
    for part in parts:
        console.print(part, width=width, highlight=False)


def _heading(words: str) -> Text:
    return Text(words, style="bold")


def _homes(sheet: WeekSheet) -> list[RenderableType]:
    """Return one line of figures for each car, its work and what pays below it."""
    minutes = sum(row.minutes for row in sheet.homes)
    need = sum(row.need_weight for row in sheet.homes)
    parts: list[RenderableType] = [
        _line("Case", "Household", "Need", "Hours", "Cash $", "Home", style="dim"),
        Rule(style="dim"),
    ]
    for row in sheet.homes:
        parts.append(_home(row))
        parts.extend(Padding(Text(words, style="dim"), (0, 0, 0, NUMBER)) for words in _below(row))
    total = _line("", "Together", str(need), hours(minutes), dollars(sheet.cash_cents), "")
    return [*parts, Rule(style="dim"), total, ""]


def _home(row: HomeRow) -> Table:
    figures = (str(row.need_weight), hours(row.minutes), dollars(row.cash_cents))
    return _line(row.number, row.household, *figures, row.days)


def _line(*cells: str, style: str = "") -> Table:
    """Return a line of the six columns; all lines have the same widths."""
    line = Table.grid(padding=(0, 1), expand=True)
    line.add_column(width=NUMBER - 1)
    line.add_column(ratio=1)
    for width in (NEED, HOURS, CASH):
        line.add_column(width=width, justify="right")
    line.add_column(width=HOME)
    line.add_row(*(Text(cell, style=style) for cell in cells))
    return line


def _below(row: HomeRow) -> tuple[str, str]:
    """Return the car with its work, and what pays."""
    funds = ", ".join(f"{name} {usd(cents)}" for name, cents in row.paid_by)
    return f"{row.car}: {row.work}", f"Paid by {funds}" if funds else "Nothing left to pay"


def _funds(sheet: WeekSheet) -> list[RenderableType]:
    table = Table.grid(padding=(0, 2))
    table.add_column()
    table.add_column(justify="right")
    table.add_column()
    table.add_column(justify="right")
    table.add_column()
    for fund in sheet.funds:
        gives, left = usd(fund.plan_cents), usd(fund.left_cents)
        table.add_row(Text(opening(fund.name)), gives, "and has", left, "left")
    return _section("What pays", [table])


def _wanted(sheet: WeekSheet) -> list[RenderableType]:
    rows = [
        Text(f"{number}. {wanted.sentence}") for number, wanted in enumerate(sheet.wanted, start=1)
    ]
    none = Text("No single part would bring another car home.")
    return _section("What to ask for first", rows or [none])


def _waiting(sheet: WeekSheet) -> list[RenderableType]:
    rows = [part for row in (*sheet.waits, *sheet.held) for part in _wait(row)]
    return _section("Why the others wait", rows or [Text("Nobody waits.")])


def _wait(row: WaitRow) -> list[RenderableType]:
    start = f"{row.number} {row.household}, need {row.need_weight}: {row.lacks.rstrip('.')}."
    reasons = [Padding(Text(reason, style="dim"), (0, 0, 0, NUMBER - 1)) for reason in row.reasons]
    return [Text(start), *reasons]


def _section(title: str, rows: Sequence[RenderableType]) -> list[RenderableType]:
    return [_heading(title), *(Padding(row, (0, 0, 0, 2)) for row in rows), ""]
