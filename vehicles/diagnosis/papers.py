"""Case reports; did the repair hold, and what the garage's own cars have taught its models."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import lru_cache
from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods, require_safe

from shared.accounts.access import requires
from shared.accounts.roles import SHOP, RoleKind
from shared.htmx import answer, go, refused
from shared.policy.actions import set_policies
from shared.policy.queries import policies
from vehicles.diagnosis import grading
from vehicles.diagnosis.access import legible
from vehicles.diagnosis.batch import Stage, cars_by_complaint, cars_of, signed, stories
from vehicles.diagnosis.calibration import Review, bins, review, scores
from vehicles.diagnosis.complaints import text_of
from vehicles.diagnosis.computing import models_of
from vehicles.diagnosis.forms import ExperienceForm, HeldForm, WithdrawForm
from vehicles.diagnosis.gathering import model_behind, model_of
from vehicles.diagnosis.learning import TOO_FEW, learn, tally
from vehicles.diagnosis.models import Diagnosis, Held
from vehicles.diagnosis.pdf import case_paper
from vehicles.diagnosis.pictures import calibration_plot, weight_bars
from vehicles.diagnosis.queries import own_texts
from vehicles.diagnosis.writing import issue_case, issued, next_number

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shared.accounts.access import StaffRequest
    from shared.accounts.models import Program
    from vehicles.diagnosis.batch import Story
    from vehicles.diagnosis.calibration import Scores
    from vehicles.diagnosis.fault_model import FaultModel
    from vehicles.diagnosis.learning import Car

READ = ["GET", "HEAD", "POST"]


@dataclass(frozen=True, kw_only=True)
class Line:
    """One complaint on the page of all: its cars by stage, and its scores in bits a car."""

    model: FaultModel
    stages: Mapping[str, int]
    cars: int
    own_percent: int
    review: Review
    learned: Scores
    shipped: Scores


@require_http_methods(READ)
@requires(*SHOP)
@legible
def held(request: StaffRequest, pk: int, diagnosis: int) -> HttpResponse:
    row = _diagnosis(request, pk, diagnosis)
    context = _held_context(row)
    form = HeldForm(
        request.POST or None,
        model=model_behind(row),
        concluded={one.fault for one in context["concluded"]},
        is_early=context["story"] is not None and context["story"].stage is Stage.TOO_EARLY,
        initial={"asked_on": row.program.today()},
    )
    if form.is_valid() and form.perform(grading.record_held, diagnosis=row, by=request.user):
        return go(request, "diagnosis:held", pk=pk, diagnosis=diagnosis)
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.is_bound else HTTPStatus.OK
    return render(request, "diagnosis/held.html", context | {"form": form}, status=status)


@require_http_methods(READ)
@requires(*SHOP)
def withdraw_held(request: StaffRequest, pk: int, diagnosis: int, held: int) -> HttpResponse:
    row = _diagnosis(request, pk, diagnosis)
    said = get_object_or_404(Held, diagnosis=row, pk=held, withdrawn_at__isnull=True)
    form = WithdrawForm(request.POST or None)
    if form.is_valid() and form.perform(grading.withdraw_held, held=said, by=request.user):
        return go(request, "diagnosis:held", pk=pk, diagnosis=diagnosis)
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.is_bound else HTTPStatus.OK
    context = {"stay": row.intake, "diagnosis": row, "said": said, "form": form}
    return render(request, "diagnosis/held_back.html", context, status=status)


@require_safe
@requires(*SHOP)
def learning(request: StaffRequest) -> HttpResponse:
    program: Any = request.user.program
    lines = _lines(program)
    whole = Review()
    for line in lines:
        whole = whole.plus(line.review)
    known = {line.model.code for line in lines}
    context = _tests(whole) | {
        "lines": lines,
        "others": [one for code, one in models_of(program).items() if code not in known],
        "rules": policies(program, program.today()),
        "to_ask": _to_ask(request, ""),
        "signed": signed(program),
    }
    return render(request, "diagnosis/learning.html", context)


@require_safe
@requires(*SHOP)
def learning_of(request: StaffRequest, complaint: str) -> HttpResponse:
    program: Any = request.user.program
    model = models_of(program).get(complaint)
    if model is None:
        raise Http404
    rules = policies(program, program.today())
    cars = cars_of(program, complaint)
    told = stories(Diagnosis.objects.filter(program=program, complaint=complaint), program)
    line = _line(model, told, cars, own_texts(program), rules["shipped_worth_cars"])
    learnt = learn(model, cars, rules["shipped_worth_cars"])
    context = _tests(line.review) | {
        "line": line,
        "model": model,
        "learnt": learnt,
        "bars": weight_bars(model, learnt),
        "rules": rules,
        "to_ask": _to_ask(request, complaint),
        "signed": signed(program, diagnosis__complaint=complaint),
    }
    return render(request, "diagnosis/learning_of.html", context)


@require_http_methods(READ)
@requires(RoleKind.COORDINATOR)
def set_experience(request: StaffRequest) -> HttpResponse:
    program: Any = request.user.program
    rules = policies(program, program.today())
    now = {"learn": bool(rules["learn_from_repairs"]), "worth": rules["shipped_worth_cars"]}
    form = ExperienceForm(request.POST or None, initial=now)
    if form.is_valid():
        sent = form.cleaned_data
        values = {"learn_from_repairs": int(sent["learn"]), "shipped_worth_cars": sent["worth"]}
        try:
            set_policies(program=program, values=values, because=sent["because"], by=request.user)
        except ValidationError as refusal:
            form.refuse(refusal)
        else:
            return go(request, "diagnosis:learning")
    page = "diagnosis/set_experience.html"
    return (refused if form.errors else answer)(request, page, {"form": form})


@require_http_methods(READ)
@requires(*SHOP)
@legible
def case_report(request: StaffRequest, pk: int, diagnosis: int) -> HttpResponse:
    row = _diagnosis(request, pk, diagnosis)
    page = "diagnosis/case_report.html"
    context = {
        "stay": row.intake,
        "diagnosis": row,
        "issued": issued(row),
        "number": next_number(row),
    }
    if request.method != "POST":
        return answer(request, page, context)
    number = request.POST.get("number", "")
    try:
        document = issue_case(diagnosis=row, number=number, compose=case_paper, by=request.user)
    except ValidationError as refusal:
        return refused(request, page, context | {"fault": " ".join(refusal.messages)})
    return go(request, "diagnosis:case_file", pk=pk, diagnosis=diagnosis, number=document.number)


@require_safe
@requires(*SHOP)
def case_file(request: StaffRequest, pk: int, diagnosis: int, number: str) -> HttpResponse:
    row = _diagnosis(request, pk, diagnosis)
    document = get_object_or_404(issued(row).defer(None), number=number)
    response = HttpResponse(bytes(document.content), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="case-{document.number}.pdf"'
    response["Cache-Control"] = "no-store"
    return response


def _diagnosis(request: StaffRequest, pk: int, diagnosis: int) -> Diagnosis:
    rows = Diagnosis.objects.for_user(request.user)
    rows = rows.select_related("intake__vehicle", "intake__program", "model", "program")
    return get_object_or_404(rows, intake__pk=pk, pk=diagnosis)


def _held_context(row: Diagnosis) -> dict[str, Any]:
    """Return what is known of a diagnosis and its repair, whatever is said now."""
    told = row.held.select_related("by").order_by("pk")
    model = model_behind(row)
    titles = {one.code: one.title for one in model.faults} | {"": "Something that is not listed"}
    story = next(iter(stories(Diagnosis.objects.filter(pk=row.pk), row.program)), None)
    said = [(one, [titles[code] for code in one.causes]) for one in told]
    return {
        "stay": row.intake,
        "diagnosis": row,
        "story": story,
        "concluded": list(row.conclusions.filter(withdrawn_at__isnull=True).select_related("root")),
        "said": next((one for one in said if not one[0].withdrawn_at), None),
        "taken_back": [one for one in said if one[0].withdrawn_at],
        "rules": policies(row.program, row.program.today()),
    }


def _lines(program: Program) -> list[Line]:
    """Return the complaints of which anything was concluded, by title."""
    worth = policies(program, program.today())["shipped_worth_cars"]
    cars, own = cars_by_complaint(program), own_texts(program)
    told = _groups(stories(Diagnosis.objects.filter(program=program), program))
    return [
        _line(model, told[code], cars.get(code, ()), own, worth)
        for code, model in models_of(program).items()
        if code in told
    ]


def _groups(told: Sequence[Story]) -> dict[str, list[Story]]:
    """Return stories by their complaint."""
    found: dict[str, list[Story]] = {}
    for one in told:
        found.setdefault(one.diagnosis.complaint, []).append(one)
    return found


def _line(
    model: FaultModel,
    told: Sequence[Story],
    cars: tuple[Car, ...],
    texts: Mapping[str, str],
    worth: int,
) -> Line:
    stages = Counter(one.stage.value for one in told)
    found = _reviewed(_text(model, texts), cars, worth) if cars else Review()
    own = tally(model, cars).cars
    return Line(
        model=model,
        stages={stage.value: stages[stage.value] for stage in Stage},
        cars=own,
        own_percent=round(100 * own / (own + worth)) if own else 0,
        review=found,
        learned=scores(found.learned),
        shipped=scores(found.shipped),
    )


@lru_cache(maxsize=256)
def _reviewed(text: str, cars: tuple[Car, ...], worth: int) -> Review:
    """Return how a text forecasts cars; kept, since the same cars are asked for again and again."""
    return review(model_of(text), cars, worth)


def _text(model: FaultModel, own: Mapping[str, str]) -> str:
    """Return the text of a model in force; the shipped one where the own can't be read."""
    try:
        model_of(own[model.code])
    except (KeyError, ValueError):
        return text_of(model.code)
    return own[model.code]


def _tests(found: Review) -> dict[str, Any]:
    tenths = bins(pair for one in found.learned for pair in one.pairs)
    return {
        "learned": scores(found.learned),
        "shipped": scores(found.shipped),
        "contradicted": found.contradicted,
        "too_few": TOO_FEW,
        "plot": calibration_plot(tenths) if tenths else None,
    }


def _to_ask(request: StaffRequest, complaint: str) -> list[Story]:
    """Return whom this user may ask now, the longest wait first."""
    rows = Diagnosis.objects.for_user(request.user)
    rows = rows.filter(complaint=complaint) if complaint else rows
    program: Program | None = request.user.program
    told = stories(rows, program) if program else []
    return sorted(
        (one for one in told if one.stage is Stage.TO_ASK),
        key=lambda one: (one.ask_on, one.diagnosis.pk),
    )
