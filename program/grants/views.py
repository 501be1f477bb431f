"""Grants: what they are worth and allow, and their claims from draft to paid."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.http import FileResponse, Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from program.funds.queries import limits_in_words
from program.grants import actions, answering, claiming, duties, forms, gathering
from program.grants.models import Claim, Grant
from program.grants.queries import NO_ANSWER, answered, book_of, claims_for
from program.grants.schedules import span_name
from program.grants.sheet import answer_rows, claim_rows
from program.grants.states import ClaimState
from program.grants.storing import kept_name, storage
from program.grants.tables import (
    AnswerTable,
    ClaimTable,
    CostTable,
    DraftTable,
    GrantTable,
    OtherTable,
)
from program.grants.writing import add_grant, edit_grant
from program.ledger.access import BOOKS, program_of
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.audit.models import Event
from shared.tables import table_page

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpResponse, QueryDict

    from program.grants.duties import Book

WITHDRAWABLE = frozenset({ClaimState.DRAFT, ClaimState.SENT})
FILES = {"pdf": "application/pdf", "zip": "application/zip"}


@require_GET
@requires(*OFFICE)
def grant_list(request: StaffRequest) -> HttpResponse:
    """Show every grant, and what the treasurer has to know of them."""
    program = program_of(request)
    rows, problems = gathering.grant_rows(program, program.today())
    extra = {
        "problems": problems,
        "left": sum(row.left for row in rows),
        "may_write": request.user.is_any_of(BOOKS),
    }
    return table_page(request, GrantTable, rows, "grants/grant_list.html", extra=extra)


def _grant(request: StaffRequest, pk: int) -> Grant:
    rows = Grant.objects.for_user(request.user).select_related("fund", "program")
    return get_object_or_404(rows, pk=pk)


@require_http_methods(["GET", "POST"])
@requires(*BOOKS)
def grant_new(request: StaffRequest) -> HttpResponse:
    """Write an award down, on a fund that is there or a new one."""
    form = forms.NewGrantForm(request.POST or None, user=request.user)
    who = {"program": program_of(request), "by": request.user}
    if form.is_valid() and (grant := form.perform(add_grant, **who)):
        messages.success(request, f"Recorded: {grant.funder}. Its fund’s rule comes next.")
        return redirect("grants:grant_page", grant.pk)
    status = 422 if form.errors else 200
    return render(request, "grants/grant_form.html", {"form": form}, status=status)


@require_http_methods(["GET", "POST"])
@requires(*BOOKS)
def grant_edit(request: StaffRequest, pk: int) -> HttpResponse:
    """Change the terms of a grant."""
    grant = _grant(request, pk)
    form = forms.EditGrantForm(request.POST or None, grant=grant)
    if form.is_valid() and form.perform(edit_grant, grant=grant, by=request.user):
        messages.success(request, "The terms are changed.")
        return redirect("grants:grant_page", pk)
    context = {"form": form, "grant": grant}
    return render(request, "grants/grant_form.html", context, status=422 if form.errors else 200)


@require_GET
@requires(*OFFICE)
def grant_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show where a grant stands, what can be claimed now, and its claims."""
    return render(request, "grants/grant_page.html", _page(request, _grant(request, pk)))


def _page(request: StaffRequest, grant: Grant) -> dict[str, object]:
    today = grant.program.today()
    book = book_of(grant, today)
    at = duties.standing(book)
    return {
        "grant": grant,
        "at": at,
        "problems": duties.problems(book, today),
        "own_asked": claiming.matched(grant.cents, grant.own_percent),
        "own_met": gathering.own_share_met(grant),
        "due": duties.due(book, today),
        "running": next((one for one in book.cycles if one.from_on <= today < one.until_on), None),
        "allowed": len(book.allowed),
        "barred": gathering.barred(book),
        "others": len(book.others),
        "claims": ClaimTable(claim_rows(grant)),
        "limits": limits_in_words(grant.fund),
        "accounts": [claiming.account_name(code) for code in grant.accounts],
        "log": Event.objects.about("grant", grant.pk).select_related("by"),
        "may_write": request.user.is_any_of(BOOKS),
    }


@require_GET
@requires(*OFFICE)
def grant_costs(request: StaffRequest, pk: int) -> HttpResponse:
    """List the costs of a grant that can be claimed now."""
    grant = _grant(request, pk)
    rows = gathering.allowed_rows(book_of(grant, grant.program.today()))
    return table_page(request, CostTable, rows, "grants/grant_costs.html", extra={"grant": grant})


@require_GET
@requires(*OFFICE)
def grant_others(request: StaffRequest, pk: int) -> HttpResponse:
    """List the costs of a grant's days that it does not pay for, each with why not."""
    grant = _grant(request, pk)
    rows = gathering.other_rows(book_of(grant, grant.program.today()))
    extra = {"grant": grant, "others": True}
    return table_page(request, OtherTable, rows, "grants/grant_costs.html", extra=extra)


@require_POST
@requires(*BOOKS)
def claim_begin(request: StaffRequest, pk: int) -> HttpResponse:
    """Begin the claim of a cycle, all its costs ticked."""
    grant = _grant(request, pk)
    form = forms.BeginForm(request.POST)
    if form.is_valid() and (
        claim := form.perform(actions.draft_claim, grant=grant, by=request.user)
    ):
        return redirect("grants:claim_page", claim.pk)
    context = _page(request, grant) | {"form": form}
    return render(request, "grants/grant_page.html", context, status=422)


# ---- one claim ----


@require_GET
@requires(*OFFICE)
def claim_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show one claim: its costs, its sums, and what can be done with it now."""
    return _claim_page(request, get_object_or_404(claims_for(request.user), pk=pk))


def _claim_page(
    request: StaffRequest, claim: Claim, refused: forms.OfClaim | None = None
) -> HttpResponse:
    draft = claim.state == ClaimState.DRAFT
    book = book_of(claim.grant, claim.program.today(), draft=claim) if draft else None
    context = _claim_context(request, claim, book, refused)
    if book:
        table, rows = DraftTable, gathering.draft_rows(book, claim)
    else:
        table, rows = CostTable, gathering.claimed_rows(claim)
    response = table_page(request, table, rows, "grants/claim_page.html", extra=context)
    if refused:
        response.status_code = 422
    return response


def _claim_context(
    request: StaffRequest, claim: Claim, book: Book | None, refused: forms.OfClaim | None
) -> dict[str, Any]:
    answers = answered([claim]).get(claim.pk, NO_ANSWER)
    left = claim.cents - answers.paid - answers.refused
    initial = {"on": claim.program.today()}
    shown = {name: _form(step, claim, initial=initial) for name, step in STEPS.items()}
    shown["pay"].initial["cents"] = left  # a refusal is seldom of all that is open
    if refused:
        shown |= {name: refused for name, step in STEPS.items() if type(refused) is step.form}
    return shown | {
        "claim": claim,
        "grant": claim.grant,
        "ahead": claim.grant.pays == "ahead",
        "span": span_name(claim.from_on, claim.until_on),
        "sums": gathering.claim_sums(claim, book),
        "told": answers,
        "left": left,
        "answers": AnswerTable(answer_rows(claim)),
        "job": gathering.papers_job(claim, actions.CLAIM_PAPERS),
        "log": Event.objects.about("claim", claim.pk).select_related("by"),
        "may_write": request.user.is_any_of(BOOKS),
        "may_withdraw": claim.state in WITHDRAWABLE and not answers.any,
    }


@dataclass(frozen=True, kw_only=True)
class Step:
    """One thing that is done with a claim: what is typed for it, what does it, what is said."""

    form: type[forms.OfClaim]
    action: Callable[..., Claim]
    said: str


STEPS = {
    "choose": Step(
        form=forms.ChooseForm, action=actions.choose_costs, said="The choice is recorded."
    ),
    "send": Step(
        form=forms.SendForm,
        action=actions.send_claim,
        said="Recorded as sent. Its papers are being put together.",
    ),
    "pay": Step(form=forms.PayForm, action=answering.pay_claim, said="Booked as paid."),
    "refuse": Step(form=forms.RefuseForm, action=answering.refuse_part, said="Booked as refused."),
    "take_back": Step(
        form=forms.TakeBackForm,
        action=answering.take_back,
        said="The answer is taken back; its amount is open again.",
    ),
    "withdraw": Step(
        form=forms.WithdrawForm,
        action=actions.withdraw_claim,
        said="The claim is withdrawn; its costs are free again.",
    ),
}


def _form(step: Step, claim: Claim, typed: QueryDict | None = None, **given: Any) -> forms.OfClaim:
    """Return the form of a step; several stand on one page, so that each has ids of its own."""
    return step.form(typed, claim=claim, auto_id=f"{step.form.__name__.lower()}_%s", **given)


@require_POST
@requires(*BOOKS)
def claim_do(request: StaffRequest, pk: int, step: str) -> HttpResponse:
    """Do one step of a claim; what is refused stands on its page."""
    claim = get_object_or_404(claims_for(request.user), pk=pk)
    if step not in STEPS:
        raise Http404
    one = STEPS[step]
    typed = _form(one, claim, request.POST)
    if typed.is_valid() and typed.perform(one.action, claim=claim, by=request.user):
        messages.success(request, one.said)
        return redirect("grants:claim_page", pk)
    return _claim_page(request, claim, typed)


@require_POST
@requires(*BOOKS)
def claim_papers(request: StaffRequest, pk: int) -> HttpResponse:
    """Ask for the papers of a claim again, such as after a bill was filed."""
    claim = get_object_or_404(claims_for(request.user), pk=pk)
    if claim.sent_on is None:
        raise Http404
    actions.ask_papers(claim)
    messages.success(request, "The papers are being put together.")
    return redirect("grants:claim_page", pk)


@require_GET
@requires(*OFFICE)
def claim_file(request: StaffRequest, pk: int, kind: str) -> FileResponse:
    """Return the paper of a claim, or the archive of all its papers, as last put together."""
    claim = get_object_or_404(claims_for(request.user), pk=pk)
    name = kept_name(claim, kind)
    if kind not in FILES or not storage().exists(name):
        raise Http404
    response = FileResponse(
        storage().open(name),
        as_attachment=kind == "zip",
        filename=f"claim-{claim.grant.fund.code}-{claim.number}.{kind}".lower(),
        content_type=FILES[kind],
    )
    response["Cache-Control"] = "no-store"
    return response
