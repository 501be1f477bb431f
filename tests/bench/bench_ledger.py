"""How long the books take to read with 1,000,000 transfers: ratios within one run.

Run by hand from the top folder: `python -m pytest tests/bench/bench_ledger.py -s -m bench -q`, on
PostgreSQL with `DATABASE_URL`. `HANDBACK_BENCH_TRANSFERS` asks for another number of transfers.
It prints each reading beside the bare SQL that adds up the transfers, and beside the plain look-up
of the rows that it reads, by their keys; asserted is only that the figures agree and that the page
of the journal takes no more queries for more rows.
"""

from __future__ import annotations

import datetime as dt
import os
from functools import partial
from time import perf_counter
from typing import TYPE_CHECKING, Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from rich.console import Console
from rich.table import Table

from program.ledger.fiscal import last_of
from program.ledger.kept_models import Balance, DayBalance, Turnover
from program.ledger.models import Commitment, Entry, Transfer
from program.ledger.queries import by_month, case_cost, case_costs, held, held_on
from program.ledger.tallies import tallies
from shared.accounts.roles import RoleKind
from tests.factories import make_entry, make_fund
from tests.program.ledger.drawn import A_YEAR, FIRST, drawn_books, write
from tests.vehicles.pages import sign_in

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.db.models import Model, QuerySet
    from django.test import Client

    from shared.accounts.models import Program

pytestmark = [pytest.mark.bench, pytest.mark.django_db]
TRANSFERS = int(os.environ.get("HANDBACK_BENCH_TRANSFERS", "1000000"))
CASES = 2_500
TIMES = 7
JOURNAL = "/money/entries/"

SIDES = """
SELECT fund_id, account, SUM(cents) FROM (
    SELECT entry_id, case_id, fund_id, debit AS account, cents FROM program_transfer
    UNION ALL SELECT entry_id, case_id, fund_id, credit, -cents FROM program_transfer
) AS sides JOIN program_entry ON program_entry.id = entry_id
WHERE {where} GROUP BY fund_id, account
"""


def seconds(*calls: Callable[[], object]) -> list[float]:
    """Return the least time of each; they take turns, so that none has the quieter minutes."""
    took: list[list[float]] = [[] for _ in calls]
    for _ in range(TIMES):
        for call, times in zip(calls, took, strict=True):
            start = perf_counter()
            call()
            times.append(perf_counter() - start)
    return [min(times) for times in took]


def sql(text: str, *values: Any) -> Callable[[], list[Any]]:
    def run() -> list[Any]:
        with connection.cursor() as cursor:
            cursor.execute(text, values)
            return list(cursor.fetchall())

    return run


def fill() -> None:
    """Write the drawn year once more for each further year, by one statement for each table."""
    later = (
        "date(\"on\", '+{} years')"
        if connection.vendor == "sqlite"
        else "\"on\" + interval '{} years'"
    )
    most: dict[type[Model], int] = {
        model: model._default_manager.latest("pk").pk for model in (Entry, Transfer, Commitment)
    }
    for year in range(1, -(-TRANSFERS // A_YEAR)):
        moved: dict[type[Model], dict[str, str]] = {
            Entry: {"key": f"key || ':{year}'", "on": later.format(year)},
            Transfer: {"entry_id": f"entry_id + {most[Entry] * year}"},
            Commitment: {
                "entry_id": f"entry_id + {most[Entry] * year}",
                "released_by_id": f"released_by_id + {most[Entry] * year}",
                "item_id": f"item_id + {most[Transfer] * year}",
            },
        }
        for model, changed in moved.items():
            again(model, changed | {"id": f"id + {most[model] * year}"}, most[model])
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def again(model: type[Model], changed: dict[str, str], most: int) -> None:
    """Insert the rows up to `most` again, with some columns changed."""
    names = [str(field.column) for field in model._meta.concrete_fields]
    into = ", ".join(f'"{name}"' for name in names)
    values = ", ".join(changed.get(name, f'"{name}"') for name in names)
    table = model._meta.db_table
    rows = f"SELECT {values} FROM {table} WHERE id <= {most}"  # noqa: S608  # names of columns
    with connection.cursor() as cursor:
        cursor.execute(f"INSERT INTO {table} ({into}) {rows}")


def balances_read(program: Program, last: dt.date) -> list[tuple[str, Any, Any, Any]]:
    """Return what is read, how, the bare sum of transfers, and the bare look-up of the rows."""
    end, middle = last_of(last), last.replace(day=1) - dt.timedelta(days=16)
    upto = SIDES.format(where='"on" <= %s')
    kept = Balance.objects.filter(program=program).order_by()
    now = look_up(kept)
    return [
        ("Balances now", lambda: held(program), sql(SIDES.format(where="1 = 1")), now),
        *(
            (name, partial(held_on, program, on), sql(upto, on), look_up(days_of(kept, on)))
            for name, on in (
                ("Trial balance at a month's end", end),
                ("Trial balance inside a month", middle),
            )
        ),
    ]


def days_of(kept: QuerySet[Balance], on: dt.date) -> QuerySet[DayBalance]:
    """Return the rows of each cell's last day on or before a day, by their keys."""
    rows = DayBalance.objects.order_by("-on")
    cells = kept.values_list("fund", "account")
    found = (rows.filter(fund=fund, account=code, on__lte=on).first() for fund, code in cells)
    return DayBalance.objects.filter(pk__in=[row.pk for row in found if row]).order_by()


def look_up(rows: QuerySet[Any]) -> Callable[[], object]:
    return lambda: list(rows.values_list("fund__code", "account", "cents"))


def spans_read(program: Program, last: dt.date) -> list[tuple[str, Any, Any, Any]]:
    """Return the same of what moved in a span."""
    month, january, end = last.replace(day=1), last.replace(month=1, day=1), last_of(last)
    span = SIDES.format(where='"on" BETWEEN %s AND %s')
    one = Transfer.objects.exclude(case=None)[0].case
    assert one is not None
    of_one = Transfer.objects.filter(case=one).order_by()
    year = Turnover.objects.filter(program=program, month__gte=january).order_by()
    return [
        (
            "A year by month",
            lambda: by_month(program, january, end),
            sql(span, january, end),
            lambda: list(year.values_list("month", "fund__code", "account", "function", "debits")),
        ),
        (
            "One case's cost",
            lambda: case_cost(one),
            sql(SIDES.format(where="1 = 1")),
            lambda: list(of_one.values_list("debit", "credit", "cents")),
        ),
        (
            "The costs of a month's cases",
            lambda: case_costs(program, month, end),
            sql(span, month, end),
            None,
        ),
    ]


def journal(program: Program, last: dt.date) -> list[tuple[str, Any, Any, Any]]:
    """Return the rows of two pages, beside the look-up of the same rows by their keys."""
    month, end = last.replace(day=1), last_of(last)
    there = Transfer.objects.filter(program=program, entry__program=program)
    rows = there.select_related("entry", "fund", "case").order_by("-entry__on", "-entry_id", "pk")
    inside = rows.filter(entry__on__range=(month, end))
    all_, some = ([row.pk for row in found[:50]] for found in (rows, inside[100:]))
    total = sql("SELECT SUM(cents) FROM program_transfer WHERE program_id = %s", program.pk)
    return [
        (
            "Journal's first 50",
            lambda: list(rows[:50]),
            total,
            lambda: list(rows.filter(pk__in=all_)),
        ),
        (
            "A month's third 50",
            lambda: list(inside[100:150]),
            total,
            lambda: list(rows.filter(pk__in=some)),
        ),
    ]


def printed(rows: list[tuple[str, Any, Any, Any]], title: str) -> None:
    table = Table("", "ms", "bare sum ms", "of it", "look-up ms", "times it", title=title)
    for name, read, bare, look_up in rows:
        took, added, *found = seconds(read, bare, *([look_up] if look_up else []))
        table.add_row(
            name,
            f"{took * 1000:.1f}",
            f"{added * 1000:.1f}",
            f"{took / added:.4f}",
            *(cell for one in found for cell in (f"{one * 1000:.1f}", f"{took / one:.2f}")),
        )
    Console(width=110).print(table)


def asked(client: Client, last: dt.date) -> list[Callable[[], object]]:
    month = {"since": last.replace(day=1).isoformat(), "until": last_of(last).isoformat()}
    return [lambda: client.get(JOURNAL), lambda: client.get(JOURNAL, month)]


def queries(client: Client) -> int:
    with CaptureQueriesContext(connection) as page:
        client.get(JOURNAL)
    return len(page)


def test_the_books_with_a_million_transfers(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    fund = make_fund()
    for _ in range(60):
        make_entry(("1010", "4010", 1, fund), on=FIRST)
    alone, small = queries(client), seconds(*asked(client, FIRST))
    start = perf_counter()
    program = write(drawn_books(min(TRANSFERS, A_YEAR), cases=CASES), cases=CASES)
    fill()
    filled = perf_counter() - start
    last = Entry.objects.filter(program=program).latest("on").on
    title = (
        f"{connection.vendor}: {Transfer.objects.count():,} transfers, {Balance.objects.count()} "
        f"balances, {Turnover.objects.count():,} turnovers, written in {filled:.0f} s"
    )
    rows = (read(program, last) for read in (balances_read, spans_read, journal))
    printed([row for some in rows for row in some], title)
    for name, few, many in zip(
        ("all", "a month"), small, seconds(*asked(client, last)), strict=True
    ):
        print(  # noqa: T201  # the figures are what a bench is for
            f"Page of {name}: {many * 1000:.0f} ms; with 60 transfers {few * 1000:.0f} ms"
        )
    assert [tally.wrong for tally in tallies(program)] == [()] * 8
    assert held_on(program, last) == held(program)
    assert queries(client) == alone
