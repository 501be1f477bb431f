"""The household's page behind its private link. It reads, and takes questions; it needs no script.

The page sets no cookie and asks for no CSRF token: who can send the form knows the link, which is
all that opens the page, and a browser that keeps the link from other sites sends no origin either.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.conf import settings
from django.http import Http404, HttpResponseRedirect
from django.shortcuts import render
from django.utils import translation
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods

from program.cases.models import Case
from program.status import actions
from program.status.forms import QuestionForm
from program.status.queries import may_have_page, report_of, updated_at, with_parts
from shared.links.access import private_link
from shared.links.purposes import LinkPurpose

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from shared.links.models import AccessLink

SHOWN_QUESTIONS = 3


@csrf_exempt
@require_http_methods(["GET", "HEAD", "POST"])
@private_link(LinkPurpose.STATUS)
def page(request: HttpRequest, link: AccessLink) -> HttpResponse:
    case = _case(link)
    language = _language(request, case)
    with translation.override(language):
        form = QuestionForm(request.POST if request.method == "POST" else None)
        if form.is_valid() and form.perform(actions.ask_question, case=case):
            return HttpResponseRedirect(f"{request.path}?lang={language}#ask")
        status = 422 if form.errors else 200
        response = render(
            request, "status/page.html", _context(case, language, form), status=status
        )
    response["Content-Language"] = language
    response["Referrer-Policy"] = "no-referrer"
    return response


def _case(link: AccessLink) -> Case:
    """Return the case of a link; what the safe-contact rule forbids looks like a wrong link."""
    case = with_parts(Case.objects.filter(link=link)).first()
    if case is None or not may_have_page(case):
        raise Http404
    return case


def _language(request: HttpRequest, case: Case) -> str:
    """Return the language that was chosen on the page, else the household's."""
    known = dict(settings.LANGUAGES)
    asked = request.GET.get("lang", "")
    household = case.household
    return asked if asked in known else household.address.language if household else "en"


def _context(case: Case, language: str, form: QuestionForm) -> dict[str, object]:
    """Return what the page is written from."""
    return {
        "case": case,
        "report": report_of(case),
        "questions": case.questions.all()[:SHOWN_QUESTIONS],
        "form": form,
        "updated_at": updated_at(case),
        "garage": case.program.name,
        "language": language,
        "languages": [
            {"code": code, "name": name, "url": f"?lang={code}", "current": code == language}
            for code, name in settings.LANGUAGES
        ],
    }
