"""The statements of a span."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.shortcuts import render
from django.views.decorators.http import require_GET

from program.ledger.access import program_of
from program.ledger.chart import load
from program.ledger.models import Fund
from program.statements.forms import SpanForm
from program.statements.queries import statements_of
from program.statements.tables import ActivityTable, FundLineTable, TrialTable
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE

if TYPE_CHECKING:
    from django.http import HttpResponse

    from program.ledger.ledger import Activities, ActivityLine, Statements
    from shared.accounts.models import Program


@require_GET
@requires(*OFFICE)
def page(request: StaffRequest) -> HttpResponse:
    """Show the trial balance, the activities and the funds of a span, and that they tie."""
    program = program_of(request)
    today = program.today()
    days = {"from_on": today.replace(month=1, day=1), "until_on": today}
    form = SpanForm(request.GET or None, initial=days)
    if form.is_bound and form.is_valid():
        days = {name: form.cleaned_data[name] for name in days}
    found = statements_of(program, **days)
    return render(request, "statements/page.html", {"form": form, **days, **_shown(found, program)})


def _shown(found: Statements, program: Program) -> dict[str, object]:
    names = dict(Fund.objects.filter(program=program).values_list("code", "name"))
    closing = found.activities.closing
    in_funds = sum(line.closing for line in found.funds)
    return {
        "trial": TrialTable(found.trial_balance),
        "activities": ActivityTable(list(_activity_rows(found.activities))),
        "funds": FundLineTable(found.funds, names=names),
        "sum": found.total_debits,
        "net_assets": closing.without + closing.with_,
        "ties": found.total_debits == found.total_credits
        and closing.without + closing.with_ == in_funds,
    }


@dataclass(frozen=True, kw_only=True)
class _ActivityRow:
    name: str
    without: int
    with_: int

    @property
    def total(self) -> int:
        return self.without + self.with_


def _activity_rows(activities: Activities) -> list[_ActivityRow]:
    """Return the statement's lines between the net assets at its start and at its end."""

    def row(name: str, line: ActivityLine) -> _ActivityRow:
        return _ActivityRow(name=name, without=line.without, with_=line.with_)

    chart = load()
    return [
        row("Net assets at the start", activities.opening),
        *(row(f"{one.account} {chart[one.account].name}", one) for one in activities.lines),
        row("Change", activities.change),
        row("Net assets at the end", activities.closing),
    ]
