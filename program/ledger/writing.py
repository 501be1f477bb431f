"""Writing an entry: what the books refuse first, then the entry with all its transfers."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction

from program.ledger import ledger, posting
from program.ledger.chart import load
from program.ledger.itemizing import pure, releases, spends
from program.ledger.models import Entry, Fund, Transfer
from program.ledger.queries import free_cents, held, pure_fund, pure_funds, shut_on
from shared.accounts.models import Program
from shared.audit.actions import log_event
from shared.problems import Problem
from shared.say import say

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping, Sequence

    from program.ledger.itemizing import Event, Line
    from program.ledger.restrictions import Fund as PureFund
    from shared.accounts.models import User


class RefusedError(ValidationError):
    """Why an entry isn't written. A problem's `where` is a line's number, `2.item`, or a fund."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = list(problems)
        super().__init__([str(problem.sentence) for problem in self.problems])


@transaction.atomic
def post_entry(
    *,
    program: Program,
    event: Event,
    lines: Sequence[Line],
    by: User | None,
    fact: bool = False,
    second: User | None = None,
) -> Entry:
    """Check an event and write it with all its transfers, and with the releases that it earns.

    A choice that would take a fund below zero or breaks its rule is refused; a `fact` (a bounced
    check) is booked. `second` is the person who agreed to what `by` asked for.

    Raises:
        ValidationError: a line is impossible, the month is shut, a fund lacks the money or may not
            pay, or the key was booked before.
    """
    lock(program)
    refuse(program=program, event=event, lines=lines, fact=fact)
    return write(program, event, [*lines, *releases(lines)], by=by, fact=fact, second=second)


def lock(program: Program) -> None:
    """Lock the books: two people may not spend the same dollar."""
    Program.objects.select_for_update(no_key=True).get(pk=program.pk)


def refuse(*, program: Program, event: Event, lines: Sequence[Line], fact: bool) -> None:
    """Raise what stands against an event, were it booked now; the books have to be locked.

    Raises:
        RefusedError: as `post_entry`, but for the key.
    """
    rows = [pure(line, event) for line in lines]
    funds = list(Fund.objects.filter(program=program))
    under_codes = pure_funds(funds)
    problems = posting.check_entry(rows, load(), under_codes)
    if not problems:
        functions = [line.function for line in lines]
        wrong = posting.check_functions(rows, functions, load())
        problems = [with_remedy(one, where=one.where) for one in wrong]
        problems += _strangers(program, lines)
    if not problems:
        problems = shut_problems(program, event.on)
    if not problems and not fact:
        problems = _overdrafts(program, funds, rows) or _broken_rules(event, lines, under_codes)
    if problems:
        raise RefusedError(problems)


def write(
    program: Program,
    event: Event,
    lines: Sequence[Line],
    *,
    by: User | None,
    fact: bool = False,
    second: User | None = None,
) -> Entry:
    """Write an entry that was checked, with its transfers and its line in the log."""
    entry = Entry(
        program=program,
        key=event.key,
        on=event.on,
        what=event.what,
        by=by,
        reverses=event.reverses,
        fact=fact,
        second=second,
    )
    entry.full_clean()
    entry.save()
    Transfer.objects.bulk_create([_row(entry, line) for line in lines])
    log_event(entry, "An entry was booked.", by=by)
    return entry


def shut_problems(program: Program, on: dt.date) -> list[Problem]:
    """Return a problem where the month of that day is shut."""
    shut = shut_on(program, on)
    if shut is None:
        return []
    day = shut.shut_at.astimezone(program.zone).date()
    problem = posting.refuse_shut(shut.month, by=str(shut.shut_by), on=day)
    return [with_remedy(problem, where="on")]


def with_remedy(problem: Problem, *, where: str) -> Problem:
    """Return a problem whose sentence says what to do too: it is all that an error shows."""
    whole = say("{sentence} {remedy}", sentence=problem.sentence, remedy=problem.remedy)
    return replace(problem, sentence=whole, where=where)


def _row(entry: Entry, line: Line) -> Transfer:
    return Transfer(
        program_id=entry.program_id,
        entry=entry,
        debit=line.debit,
        credit=line.credit,
        cents=line.cents,
        fund=line.fund,
        case=line.case,
        item=line.item,
        function=line.function,
        memo=line.memo,
    )


def _strangers(program: Program, lines: Sequence[Line]) -> list[Problem]:
    """Return a problem for each line whose case isn't the program's, or whose item isn't its."""
    found = []
    for number, line in enumerate(lines, start=1):
        case, item = line.case, line.item
        if case and case.program_id != program.pk:
            sentence = say("There is no case {case}.", case=case.number)
            found.append(Problem(sentence, where=f"{number}.case"))
        elif item and (case is None or item.intake.vehicle_id != case.vehicle_id):
            sentence = say("“{item}” is not of this line's case.", item=item.title)
            found.append(Problem(sentence, where=f"{number}.item"))
    return found


def _overdrafts(
    program: Program, funds: Sequence[Fund], rows: Sequence[ledger.Transfer]
) -> list[Problem]:
    """Return a problem for each fund that the entry takes more from than is free."""
    free = free_cents(funds, held(program))
    change = free_cents(funds, ledger.balances(rows))
    problems = (
        posting.refuse_overdraft(pure_fund(fund), free[fund.code], -change[fund.code])
        for fund in funds
        if change[fund.code] < 0
    )
    return [problem for problem in problems if problem]


def _broken_rules(
    event: Event, lines: Sequence[Line], funds: Mapping[str, PureFund]
) -> list[Problem]:
    """Return a problem for each line whose fund may not pay for it."""
    found = []
    for number, line in enumerate(lines, start=1):
        for spend in spends(line, event):
            problem = posting.refuse_spend(
                funds[line.fund.code],
                funds.values(),
                spend,
                case=line.case is not None,
                item=line.item is not None,
            )
            if problem:
                field = problem.where if problem.where in ("case", "item") else "fund"
                found.append(with_remedy(problem, where=f"{number}.{field}"))
                break
    return found
