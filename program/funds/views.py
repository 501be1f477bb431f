"""The funds: what each holds, the book of one, and the rule it pays by."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from program.funds.actions import change_fund, close_fund, open_fund, set_rule
from program.funds.forms import (
    CloseForm,
    FundEditForm,
    FundForm,
    RuleForm,
    RuleSaveForm,
    choices_for,
    typed_as,
)
from program.funds.queries import (
    Book,
    count_of_transfers,
    fund_flags,
    fund_rows,
    lapse_flags,
    left_in,
    limits_in_words,
    set_aside_cents,
)
from program.funds.sheet import fund_work, trial_of
from program.funds.tables import CommitmentTable, FundBookTable, FundTable, TrialTable
from program.ledger.access import BOOKS, program_of
from program.ledger.models import Fund
from program.ledger.queries import free_cents, held, pure_fund, standing_commitments
from program.ledger.restrictions import in_words
from program.ledger.tables import capital
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.charts import FundBar, fund_bars
from shared.tables import table_page
from vehicles.repairs.models import RepairItem

if TYPE_CHECKING:
    from django.http import HttpResponse

    from program.funds.trying import Row, Trial
    from program.ledger import restrictions
    from program.ledger.ledger import Balances
    from program.ledger.rules import Rule
    from shared.accounts.models import Program
    from shared.forms import Form


@require_GET
@requires(*OFFICE)
def fund_list(request: StaffRequest) -> HttpResponse:
    """Show what each fund holds, what lapses soon, and that the books balance."""
    program = program_of(request)
    balances = held(program)
    rows = fund_rows(program, balances)
    bars = [FundBar(name=r.name, set_aside=r.set_aside, this_plan=0, left=r.free) for r in rows]
    context = {
        "funds": FundTable(rows),
        "flags": fund_flags(program, balances),
        "lapses": lapse_flags(program, balances, program.today()),
        "count": len(rows),
        "there": sum(row.there for row in rows),
        "picture": fund_bars(bars) if bars else None,
        "debits": _debits(balances),
        "credits": -_debits(balances, sign=-1),
        "count_of_transfers": count_of_transfers(program),
        "may_book": request.user.is_any_of(BOOKS),
        "rooms": _rooms(),
    }
    return render(request, "funds/fund_list.html", context)


ROOMS = (
    ("ledger:entry_list", "Journal"),
    ("statements:page", "Statements"),
    ("budget:page", "Budget"),
    ("bank:statement_list", "Bank"),
    ("grants:grant_list", "Grants"),
    ("gifts:offer_list", "Gifts"),
    ("closing:month_list", "Months"),
    ("closing:duties", "Duties"),
    ("papers:missing_list", "Papers"),
    ("reports:file_list", "The books as a file"),
    ("estimates:record", "How estimates came out"),
)


def _rooms() -> list[tuple[str, str]]:
    """Return the address and name of each room of the books."""
    return [(reverse(name), words) for name, words in ROOMS]


def _debits(balances: Balances, sign: int = 1) -> int:
    """Return the sum of the accounts that stand on one side."""
    return sum(cents for cents in balances.accounts().values() if cents * sign > 0)


@require_GET
@requires(*OFFICE)
def fund_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show one fund: what it may pay for, what is set aside, every transfer."""
    fund = _fund(request, pk)
    balances = held(program_of(request))
    free, aside = free_cents([fund], balances)[fund.code], set_aside_cents(fund, balances)
    standing = list(standing_commitments(program_of(request)).filter(fund=fund))
    items = RepairItem.objects.filter(pk__in=[row.item_id for row in standing])
    asked = fund.restricted and not fund.closed_on and free > 0
    extra = {
        "fund": fund,
        "limits": limits_in_words(fund),
        "free": free,
        "set_aside": aside,
        "work": fund_work(fund, free, free + aside) if asked else None,
        "commitments": CommitmentTable(standing, titles={row.pk: row.title for row in items}),
        "may_book": request.user.is_any_of(BOOKS) and not fund.closed_on,
        "left": left_in(fund, balances),
    }
    return table_page(request, FundBookTable, Book(fund, free), "funds/fund_page.html", extra=extra)


def _fund(request: StaffRequest, pk: int) -> Fund:
    return get_object_or_404(Fund.objects.for_user(request.user).select_related("program"), pk=pk)


@require_http_methods(["GET", "POST"])
@requires(*BOOKS)
def fund_new(request: StaffRequest) -> HttpResponse:
    """Open a fund; its rule comes next."""
    program = program_of(request)
    form = FundForm(request.POST or None, initial={"opened_on": program.today()})
    if form.is_valid() and (fund := form.perform(open_fund, program=program, by=request.user)):
        messages.success(request, f"The {fund.name} is open. Now say what it may pay for.")
        return redirect("funds:fund_rule", fund.pk)
    return _form_page(request, form, title="Open a fund", button="Open this fund")


@require_http_methods(["GET", "POST"])
@requires(*BOOKS)
def fund_edit(request: StaffRequest, pk: int) -> HttpResponse:
    """Change a fund's name, purpose and days."""
    fund = _fund(request, pk)
    names = ("name", "purpose", "opened_on", "lapses_on", "version")
    form = FundEditForm(request.POST or None, initial={name: getattr(fund, name) for name in names})
    if form.is_valid() and form.perform(change_fund, fund=fund, by=request.user):
        messages.success(request, "Recorded.")
        return redirect("funds:fund_page", fund.pk)
    return _form_page(request, form, title=f"Change the {fund.name}", button="Keep this", fund=fund)


def _form_page(request: StaffRequest, form: Form, **context: object) -> HttpResponse:
    status = 422 if form.errors else 200
    return render(request, "funds/form_page.html", {"form": form} | context, status=status)


@require_POST
@requires(*BOOKS)
def fund_close(request: StaffRequest, pk: int) -> HttpResponse:
    """Close a fund in which nothing is left."""
    fund = _fund(request, pk)
    form = CloseForm(request.POST)
    if form.is_valid() and form.perform(close_fund, fund=fund, by=request.user):
        messages.success(request, f"The {fund.name} is closed.")
    for fault in form.faults:
        messages.error(request, fault["sentence"])
    return redirect("funds:fund_page", fund.pk)


@require_http_methods(["GET", "POST"])
@requires(*BOOKS)
def fund_rule(request: StaffRequest, pk: int) -> HttpResponse:
    """Try a rule on all open work, then put it in force."""
    fund = _fund(request, pk)
    page = RulePage(request, fund.program, pure_fund(fund), version=fund.version)
    if page.save.is_valid() and page.save.perform(set_rule, fund=fund, by=request.user):
        messages.success(request, "The rule is in force.")
        return redirect("funds:fund_page", fund.pk)
    return page.answer(
        owner=capital(fund.name),
        back=reverse("funds:fund_page", args=[fund.pk]),
        in_force=limits_in_words(fund),
        needs_donor=fund.restricted and bool(left_in(fund, held(fund.program))),
    )


class RulePage:
    """The page that edits a rule: as typed in the address, tried, and sent to be put in force.

    `is_new` is a fund that isn't open yet, whose rule nothing is compared with.
    """

    def __init__(
        self,
        request: StaffRequest,
        program: Program,
        fund: restrictions.Fund,
        *,
        version: int,
        is_new: bool = False,
    ) -> None:
        self.request, self.program, self.fund, self.is_new = request, program, fund, is_new
        given: dict[str, Any] = {"rule": fund.rule, "choices": choices_for(program, fund.rule)}
        asks = {"version": version}
        self.save = RuleSaveForm(request.POST or None, initial=asks, **given)
        typed = request.POST or (request.GET if "try" in request.GET else None)
        self.form = RuleForm(typed, **given)

    def answer(self, **words: object) -> HttpResponse:
        """Return the page, with what its template says of the fund."""
        rule = self.form.cleaned_data["rule"] if self.form.is_valid() else self.fund.rule
        trial = trial_of(self.program, self.fund, rule, in_force=not self.is_new)
        extra = {"form": self.form, "save": self.save, "name": self.fund.name} | words
        extra |= trial_context(self.request, trial, rule)
        extra["is_other"] = self.is_new or rule != self.fund.rule
        rows = shown_rows(self.request, trial)
        page = table_page(self.request, TrialTable, rows, "funds/rule.html", extra=extra)
        page.status_code = 422 if self.save.errors or self.form.errors else 200
        return page


def shown_rows(request: StaffRequest, trial: Trial) -> list[Row]:
    """Return the rows that the address asks for: all, those paid, refused, changed or broken."""
    refused = [row for row in trial.rows if not row.pays]
    kinds = {"yes": trial.paid, "no": refused, "changed": trial.changed, "broken": trial.broken}
    return kinds.get(request.GET.get("show", ""), list(trial.rows))


def trial_context(request: StaffRequest, trial: Trial, rule: Rule) -> dict[str, Any]:
    """Return what the templates of a trial need."""
    return {
        "trial": trial,
        "words": [str(one) for one in in_words(rule)] or ["Anything the program does."],
        "typed": typed_as(rule),
        "show": request.GET.get("show", ""),
    }
