"""What the books say to each line of a month's closing list, read from every room of the money."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import Sum

from program.bank.queries import bank_state
from program.closing import steps
from program.closing.kinds import StepKind
from program.closing.queries import ticks, undone_ticks
from program.grants.queries import due_claims
from program.ledger.chart import Kind, Role, load
from program.ledger.fiscal import first_of, last_of
from program.ledger.models import Entry, Transfer
from program.ledger.queries import held_on, turned
from program.ledger.releases import Part, owed
from shared.dates import full_date
from shared.money import usd
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Mapping

    from program.closing.models import CloseStep
    from program.closing.steps import Look
    from program.ledger.ledger import Balances
    from shared.accounts.models import Program


@dataclass(frozen=True, kw_only=True)
class StepRow:
    """One line of a month's list: what the books say, who ticked it, and what came since."""

    kind: StepKind
    look: Look
    tick: CloseStep | None
    since: int = 0
    undone: tuple[CloseStep, ...] = ()

    @property
    def title(self) -> str:
        """What the line is called."""
        return steps.TITLES[self.kind]

    @property
    def asked(self) -> str:
        """What a person asks before they tick it."""
        return steps.ASKED[self.kind]

    @property
    def accounts(self) -> list[tuple[str, str, int]]:
        """The code, name and balance of each account that its figures are of."""
        return [(code, load()[code].name, cents) for code, cents in self.look.accounts]


def step_rows(program: Program, month: dt.date) -> list[StepRow]:
    """Return the lines of a month's list in their order."""
    said, undone = looks(program, month), undone_ticks(program, month)
    ticked = ticks(program, month)
    since = booked_since(program, month, ticked)
    return [
        StepRow(
            kind=kind,
            look=said[kind],
            tick=ticked.get(kind),
            since=since.get(kind, 0),
            undone=tuple(row for row in undone if row.kind == kind),
        )
        for kind in StepKind
    ]


def looks(program: Program, month: dt.date) -> dict[StepKind, Look]:
    """Return what the books say now to each line of a month's list."""
    last = last_of(month)
    held = held_on(program, last)
    found = (
        _bank(program, last, held),
        steps.look_at_payables(held.account("2010"), held.account("2020")),
        steps.look_at_cores(held.account("1230")),
        steps.look_at_shelf(held.account("1210"), held.account("1220")),
        _claims(program, last),
        steps.look_at_releases(unreleased(program, month)),
        steps.look_at_accruals(missing_costs(program, month)),
    )
    return {look.kind: look for look in found}


def booked_since(
    program: Program, month: dt.date, ticked: Mapping[StepKind, CloseStep]
) -> dict[StepKind, int]:
    """Return how many entries of a month were booked after each tick of its list; one query."""
    if not ticked:
        return {}
    first = min(tick.at for tick in ticked.values())
    days = (month, last_of(month))
    rows = Entry.objects.filter(program=program, on__range=days, made_at__gt=first)
    made = list(rows.order_by().values_list("made_at", flat=True))
    return {kind: sum(at > tick.at for at in made) for kind, tick in ticked.items()}


def _bank(program: Program, last: dt.date, held: Balances) -> Look:
    states = bank_state(program, last)
    accounts = [(one.account, held.account(one.account)) for one in states]
    return steps.look_at_bank(accounts, [one.sentence for one in states if not one.done])


def _claims(program: Program, last: dt.date) -> Look:
    late = [one for one in due_claims(program, last) if one.due_on <= last]
    return steps.look_at_claims(
        [
            say(
                "{what} for {cycle} of the {name}, due on {day}: {amount}.",
                what=one.what,
                cycle=one.cycle.name,
                name=one.name,
                day=full_date(one.due_on),
                amount=usd(one.cents),
            )
            for one in late
        ]
    )


def unreleased(program: Program, month: dt.date) -> dict[str, int]:
    """Return by name what restricted funds spent in a month and nobody released, without zeros."""
    rows = Transfer.objects.filter(
        program=program, fund__restricted=True, entry__on__range=(month, last_of(month))
    ).order_by()
    sums = rows.values_list("fund__name", "debit", "credit").annotate(sum=Sum("cents"))
    parts = [
        Part(debit=debit, credit=credit, cents=cents, fund=fund)
        for fund, debit, credit, cents in sums
    ]
    chart = load()
    released = {account.code for account in chart.values() if account.role is Role.RELEASED_FROM}
    return {
        part.fund: part.cents if part.debit in released else -part.cents
        for part in owed(parts, chart, {part.fund for part in parts})
    }


def missing_costs(program: Program, month: dt.date) -> list[str]:
    """Return the accounts that cost money the month before and nothing in this, as they are called.

    What was given and used up is left out: it comes when it comes.
    """
    before = first_of(month - dt.timedelta(days=1))
    was = _costs(turned(program, before, last_of(before)))
    now = _costs(turned(program, month, last_of(month)))
    return [f"{code} {load()[code].name}" for code in sorted(was.keys() - now.keys())]


def _costs(balances: Balances) -> Mapping[str, int]:
    chart = load()
    return {
        code: cents
        for code, cents in balances.accounts().items()
        if cents > 0 and chart[code].kind is Kind.EXPENSE and chart[code].role is not Role.IN_KIND
    }
