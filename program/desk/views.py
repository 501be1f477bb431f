"""The first page of each role, the list of cases, and the page of a case."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST, require_safe

from program.cases.models import Case
from program.decisions.access import READERS as DECISIONS
from program.decisions.queries import case_of_stay
from program.desk import pictures, queries
from program.desk.dues import money_slips, to_agree
from program.desk.filters import CaseFilter
from program.desk.forms import TakeBackForm
from program.desk.gathering import case_file
from program.desk.tables import (
    CaseTable,
    FindingTable,
    ItemTable,
    PaidTable,
    PartTable,
    SetAsideTable,
)
from program.desk.wording import MOST_SLIPS, heading, in_order
from program.households.forms import CHANNELS, MAY_SAY
from program.planning.queries import newest_plan, outcome_of
from program.planning.states import PlanState
from program.status import actions
from program.status.forms import AnswerForm
from program.status.models import Question
from program.status.queries import with_parts
from shared import htmx
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE, SHOP, RoleKind
from shared.outbox.contact import Channel, MaySay
from shared.tables import table_page
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from django.http import HttpResponse

    from program.desk.gathering import CaseFile
    from shared.accounts.models import Program
    from shared.tables import Table

READERS = (*sorted(OFFICE), RoleKind.CASEWORKER)
EDITORS = (RoleKind.COORDINATOR, RoleKind.CASEWORKER)
COMPUTED = (PlanState.READY, PlanState.APPROVED)
SHORT_LIST = 12
PIECE = 24  # letters of a link between two places where a line may break


@requires(*RoleKind)
def first_page(request: StaffRequest) -> HttpResponse:
    user = request.user
    if user.role_kinds() == {RoleKind.SPONSOR}:
        return redirect("portal:need_list")
    if user.is_any_of(EDITORS):
        return htmx.answer(request, "desk/coordinator.html", _coordinator(request))
    if user.is_any_of(OFFICE):
        return htmx.answer(request, "desk/treasurer.html", _treasurer(request))
    return htmx.answer(request, "desk/shop.html", _board(request))


def _program(request: StaffRequest) -> Program:
    """Return the user's program; without one nobody holds a role that opens a page."""
    if request.user.program is None:
        raise PermissionDenied
    return request.user.program


def _board(request: StaffRequest) -> dict[str, Any]:
    """Return the plan and its week, for the cases that the user may see."""
    program = _program(request)
    cases, plan = queries.open_cases(request.user), newest_plan(program)
    outcome = outcome_of(plan) if plan and plan.state in COMPUTED else None
    found: dict[str, Any] = {"cases": cases, "plan": plan, "outcome": outcome}
    found |= {"today": program.today(), "cars": pictures.where_cars_are(cases, program.today())}
    if plan and outcome:
        monday = pictures.week_of(plan, program.today())
        found["monday"] = monday
        found["days"] = pictures.days_of(outcome, monday, pictures.short_names(cases))
        found["week"] = next((week for week in outcome.weeks if week.starts_on == monday), None)
    if request.user.is_any_of(OFFICE):
        found["plan_url"] = queries.page_of("planning:week")
    return found


def _money(request: StaffRequest) -> dict[str, Any]:
    """Return the funds as the newest plan leaves them."""
    program = _program(request)
    plan = newest_plan(program)
    outcome = outcome_of(plan) if plan and plan.state in COMPUTED else None
    funds, kept = pictures.money(outcome, program)
    return {"funds": funds, "kept": kept}


def _treasurer(request: StaffRequest) -> dict[str, Any]:
    """Return what waits for a treasurer, beside money and cars; the board reads the same."""
    keeps = request.user.is_any_of({RoleKind.TREASURER})
    slips = in_order(money_slips(request.user)) if keeps else []
    more = sum(slip.count for slip in slips[MOST_SLIPS:])
    found = {"keeps": keeps, "heading": heading(slips), "slips": slips[:MOST_SLIPS], "more": more}
    return _board(request) | _money(request) | found


def _coordinator(request: StaffRequest) -> dict[str, Any]:
    """Return what waits for a decision, beside where everything stands."""
    found = _board(request)
    cases, plan, outcome = found["cases"], found["plan"], found["outcome"]
    slips = [*queries.slips(request.user, cases, plan, outcome)]
    if request.user.is_any_of({RoleKind.COORDINATOR}):
        slips += to_agree(request.user)
    slips = in_order(slips)
    funds, kept = pictures.money(outcome, _program(request))
    short = sorted(cases, key=pictures.decided_last)[:SHORT_LIST]
    return found | {
        "heading": heading(slips),
        "leads": pictures.leads(plan, outcome, len(queries.to_decide(cases, outcome))),
        "slips": slips[:MOST_SLIPS],
        "more": sum(slip.count for slip in slips[MOST_SLIPS:]),
        "table": CaseTable(short, orderable=False),
        "funds": funds,
        "kept": kept,
    }


@requires(*READERS)
def case_list(request: StaffRequest) -> HttpResponse:
    rows = with_parts(Case.objects.for_user(request.user))
    return table_page(request, CaseTable, rows, "desk/case_list.html", filterset=CaseFilter)


def _case(request: StaffRequest, number: str) -> Case:
    """Return a case that the user may see; a tie makes it look as if there were none."""
    return get_object_or_404(with_parts(Case.objects.for_user(request.user)), number=number)


@requires(*READERS)
def case_page(request: StaffRequest, number: str) -> HttpResponse:
    return _page(request, _case(request, number))


@require_safe
@requires(*READERS, *SHOP)
def stay_case(request: StaffRequest, pk: int) -> HttpResponse:
    """Go from a stay, as its printed sheet names it, to its case, or for the shop to the car."""
    stay = get_object_or_404(Intake.objects.for_user(request.user), pk=pk)
    reads = request.user.is_any_of(READERS)
    case = case_of_stay(stay, request.user) if reads else None
    if case:
        return redirect("desk:case_page", case.number)
    if not request.user.is_any_of(SHOP):
        raise Http404
    if reads:
        messages.warning(request, "No case joins this car and a household yet.")
    return redirect("intake:vehicle_page", stay.pk)


def _page(
    request: StaffRequest, case: Case, *, refused: tuple[int, AnswerForm] | None = None
) -> HttpResponse:
    """Return the page of a case; a refused answer stands again below its question."""
    file = case_file(case)
    forms = {row.pk: AnswerForm(auto_id=f"answer-{row.pk}-%s") for row in file.questions}
    forms |= dict([refused] if refused else [])
    context = {
        "file": file,
        "case": case,
        "tables": _tables(file),
        "edits": request.user.is_any_of(EDITORS) and not case.closed_on,
        "contact": _contact(request, case),
        "works": request.user.is_any_of(SHOP),
        "decides": request.user.is_any_of(DECISIONS),
        "returns": file.is_returnable and request.user.is_any_of({RoleKind.COORDINATOR}),
        "pins": request.user.is_any_of({RoleKind.COORDINATOR}) and not case.closed_on,
        "questions": [(row, forms[row.pk]) for row in file.questions],
    }
    answer = htmx.refused if refused else htmx.answer
    return answer(request, "desk/case_page.html", context)


def _contact(request: StaffRequest, case: Case) -> dict[str, str]:
    """Return how the household is reached, in words, for those who may write to it."""
    if case.household is None or not request.user.is_any_of(EDITORS):
        return {}
    address = case.household.address
    return {
        "channel": CHANNELS[Channel(address.channel)],
        "says": MAY_SAY[MaySay(address.says)],
    }


def _tables(file: CaseFile) -> dict[str, Table]:
    return {
        "findings": FindingTable(file.findings),
        "items": ItemTable(file.items),
        "parts": PartTable(file.parts),
        "set_aside": SetAsideTable(file.set_aside),
        "paid": PaidTable(file.paid),
    }


@require_POST
@requires(*EDITORS)
def case_answer(request: StaffRequest, number: str, pk: int) -> HttpResponse:
    case = _case(request, number)
    question = get_object_or_404(Question.objects.for_user(request.user), pk=pk, case=case)
    form = AnswerForm(request.POST, auto_id=f"answer-{pk}-%s")
    answered = form.is_valid() and form.perform(
        actions.answer_question, question=question, by=request.user
    )
    if not answered:
        return _page(request, case, refused=(pk, form))
    messages.success(request, "Answered. It stands on their page.")
    return redirect("desk:case_page", number)


@require_POST
@requires(*EDITORS)
def case_link(request: StaffRequest, number: str) -> HttpResponse:
    """Make the private link, or open it again after it was taken back."""
    case = _case(request, number)
    try:
        actions.give_page(case=case, by=request.user)
    except ValidationError as refusal:
        for sentence in refusal.messages:
            messages.error(request, sentence)
        return redirect("desk:case_page", number)
    return redirect("desk:case_print_link", number)


@requires(*EDITORS)
def case_print_link(request: StaffRequest, number: str) -> HttpResponse:
    """Show the private link alone, to be printed and handed over."""
    file = case_file(_case(request, number))
    if not file.link_url:
        raise Http404
    pieces = textwrap.wrap(file.link_url, PIECE)
    context = {"pieces": pieces, "case": file.case}
    response = htmx.answer(request, "desk/case_print_link.html", context)
    response["Cache-Control"] = "no-store"
    return response


@requires(*EDITORS)
def case_take_link(request: StaffRequest, number: str) -> HttpResponse:
    """Take the private link back, on a page of its own, since papers with it end."""
    case = _case(request, number)
    form = TakeBackForm(request.POST or None)
    if form.is_valid():
        form.perform(actions.take_page_back, case=case, by=request.user)
        if form.is_valid():
            messages.success(
                request, "The private link is taken back. Whoever has it finds nothing."
            )
            return redirect("desk:case_page", number)
    answer = htmx.refused if form.errors else htmx.answer
    return answer(request, "desk/case_take_link.html", {"form": form, "case": case})
