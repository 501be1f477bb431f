"""The funds: what each holds, and the book of one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from program.funds.queries import fund_flags, fund_rows, limits_in_words, money_lines
from program.funds.tables import CommitmentTable, FundBookTable, FundTable
from program.ledger.access import BOOKS, program_of
from program.ledger.models import Fund, Transfer
from program.ledger.queries import held, standing_commitments
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.charts import FundBar, fund_bars
from shared.tables import table_page
from vehicles.repairs.models import RepairItem

if TYPE_CHECKING:
    from django.http import HttpResponse

    from program.ledger.ledger import Balances


@require_GET
@requires(*OFFICE)
def fund_list(request: StaffRequest) -> HttpResponse:
    """Show what each fund holds, and that the books balance."""
    balances = held(program_of(request))
    rows = fund_rows(program_of(request), balances)
    bars = [FundBar(name=r.name, set_aside=r.set_aside, this_plan=0, left=r.free) for r in rows]
    context = {
        "funds": FundTable(rows),
        "flags": fund_flags(program_of(request), balances),
        "count": len(rows),
        "there": sum(row.there for row in rows),
        "picture": fund_bars(bars) if bars else None,
        "debits": _debits(balances),
        "credits": -_debits(balances, sign=-1),
        "count_of_transfers": Transfer.objects.for_user(request.user).count(),
        "may_book": request.user.is_any_of(BOOKS),
    }
    return render(request, "funds/fund_list.html", context)


def _debits(balances: Balances, sign: int = 1) -> int:
    """Return the sum of the accounts that stand on one side."""
    return sum(cents for cents in balances.accounts().values() if cents * sign > 0)


@require_GET
@requires(*OFFICE)
def fund_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show one fund: what it may pay for, what is set aside, every transfer."""
    fund = get_object_or_404(Fund.objects.for_user(request.user), pk=pk)
    lines = money_lines(fund)
    standing = list(standing_commitments(program_of(request)).filter(fund=fund))
    items = RepairItem.objects.filter(pk__in=[row.item_id for row in standing])
    extra = {
        "fund": fund,
        "limits": limits_in_words(fund),
        "free": lines[0].free if lines else 0,
        "set_aside": sum(row.cents for row in standing),
        "commitments": CommitmentTable(standing, titles={row.pk: row.title for row in items}),
    }
    return table_page(request, FundBookTable, lines, "funds/fund_page.html", extra=extra)
