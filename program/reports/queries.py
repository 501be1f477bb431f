"""The books as the year file tells them, row by row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.files.storage import storages
from django.db.models import Count, Min

from program.ledger.chart import load
from program.ledger.csv_text import amount
from program.ledger.fiscal import fiscal_span, fiscal_year
from program.ledger.models import Entry, Fund, ShutMonth, Transfer
from program.papers.models import Paper
from program.papers.queries import spending
from program.reports.book_sheets import Moved
from shared import money
from shared.policy.queries import policies

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator, Mapping
    from typing import IO

    from django.db.models import QuerySet

    from program.closing.models import YearFile
    from program.ledger.csv_text import Cell
    from shared.accounts.models import Program

CHUNK = 2_000


def first_day(program: Program) -> dt.date:
    """Return the day of the oldest entry, or today while there is none."""
    found = Entry.objects.filter(program=program).aggregate(first=Min("on"))["first"]
    return found or program.today()


def fiscal_years(program: Program) -> dict[int, tuple[dt.date, dt.date]]:
    """Return each fiscal year that has entries with its days, the newest first."""
    today = program.today()
    month = policies(program, today)["fiscal_year_month"]
    first = fiscal_year(first_day(program), first_month=month)
    last = fiscal_year(today, first_month=month)
    return {year: fiscal_span(year, first_month=month) for year in range(last, first - 1, -1)}


def span_rows(file: YearFile) -> QuerySet[Transfer]:
    """Return the transfers of a file's days, oldest first."""
    days = (file.from_on, file.until_on)
    rows = Transfer.objects.filter(program_id=file.program_id, entry__on__range=days)
    return rows.order_by("entry__on", "entry_id", "pk")


def moved(file: YearFile) -> Iterator[Moved]:
    """Yield each transfer of the span for the importer's sheet."""
    names = ("entry__key", "entry__on", "entry__what", "debit", "credit", "cents", "fund__code")
    more = ("function", "case__number", "memo", "entry__fact")
    for row in span_rows(file).values_list(*names, *more).iterator(chunk_size=CHUNK):
        key, on, what, debit, credit, cents, fund, function, case, memo, fact = row
        yield Moved(
            entry=key,
            on=on,
            what=what,
            debit=debit,
            credit=credit,
            cents=cents,
            fund=fund,
            function=function,
            case=case or "",
            memo=memo,
            fact=fact,
        )


JOURNAL = (
    "entry", "day", "what", "debit", "debit account", "credit", "credit account", "amount", "fund",
    "fund name", "case", "function", "note", "cause", "it had happened", "booked by",
    "second person", "booked at", "reverses entry",
)  # fmt: skip


def journal(file: YearFile) -> Iterator[tuple[Cell, ...]]:
    """Yield each transfer of the span as a person reads it."""
    chart = load()
    zone = file.program.zone
    rows = span_rows(file).select_related("entry__by", "entry__second", "fund", "case")
    for row in rows.iterator(chunk_size=CHUNK):
        entry = row.entry
        yield (
            entry.pk,
            entry.on,
            entry.what,
            row.debit,
            chart[row.debit].name,
            row.credit,
            chart[row.credit].name,
            amount(row.cents),
            row.fund.code,
            row.fund.name,
            row.case.number if row.case else "",
            row.function,
            row.memo,
            entry.key,
            "yes" if entry.fact else "",
            str(entry.by or ""),
            str(entry.second or ""),
            entry.made_at.astimezone(zone).isoformat(timespec="seconds"),
            entry.reverses_id,
        )


def fund_cells(fund: Fund) -> list[Cell]:
    """Return a fund as a row of the importer's sheet `funds`."""
    rule = fund.rule

    def codes(name: str) -> str:
        return "; ".join(rule.get(name, []))

    two = rule.get("two_over_cents")
    return [
        fund.code,
        fund.code,
        fund.name,
        "yes" if fund.restricted else "no",
        fund.purpose,
        codes("systems"),
        codes("jobs"),
        codes("part_kinds"),
        codes("counties"),
        codes("household_kinds"),
        codes("kinds"),
        money.dollars(two).replace(",", "") if two is not None else "",
        rule.get("from_on", ""),
        rule.get("until_on", ""),
        fund.opened_on,
        fund.lapses_on,
        fund.closed_on,
    ]


def papers(file: YearFile) -> Iterator[Paper]:
    """Yield the papers behind the entries of the span."""
    days = (file.from_on, file.until_on)
    rows = Paper.objects.filter(program_id=file.program_id, entry__on__range=days)
    yield from rows.order_by("entry__on", "entry_id", "pk").iterator(chunk_size=CHUNK)


def spends(file: YearFile) -> list[tuple[int, dict[str, Cell]]]:
    """Return each transfer that spends money, with what an auditor's list says of it."""
    rows = span_rows(file).filter(spending()).annotate(papers=Count("entry__papers"))
    names = ("pk", "entry_id", "entry__on", "entry__what", "debit", "cents", "fund__code", "papers")
    return [
        (
            pk,
            {
                "entry": entry,
                "day": on,
                "what": what,
                "account": debit,
                "amount": amount(cents),
                "fund": fund,
                "papers": papers,
            },
        )
        for pk, entry, on, what, debit, cents, fund, papers in rows.values_list(*names)
    ]


def months(file: YearFile) -> list[ShutMonth]:
    """Return when each month of the span was shut or opened again, oldest first."""
    days = (file.from_on, file.until_on)
    rows = ShutMonth.objects.filter(program_id=file.program_id, month__range=days)
    return list(rows.select_related("shut_by", "opened_by").order_by("month", "pk"))


def balance_rows(
    funds: Mapping[str, Fund],
    before: Mapping[tuple[str, str], int],
    span: Mapping[tuple[str, str], int],
) -> Iterator[tuple[Cell, ...]]:
    """Yield, by fund and account, what was there, what moved, and what is there after it."""
    chart = load()
    for fund, code in sorted({*before, *span}):
        first, moved = before.get((fund, code), 0), span.get((fund, code), 0)
        name = chart[code].name
        yield (
            fund,
            funds[fund].name,
            code,
            name,
            amount(first),
            amount(moved),
            amount(first + moved),
        )


def stored(path: str) -> IO[bytes]:
    """Return a file of the private storage, opened."""
    return storages["private"].open(path)
