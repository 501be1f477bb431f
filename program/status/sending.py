"""The jobs that write status reports. The outbox sends them, and obeys the address then."""

from __future__ import annotations

import datetime as dt
from functools import partial
from typing import TYPE_CHECKING, Any

from django.template.loader import render_to_string
from django.utils import timezone, translation

from program.cases.models import Case
from program.planning.models import Plan
from program.planning.states import PlanState
from program.status.actions import ask_weekly_reports, give_page
from program.status.queries import may_have_page, report_of, with_parts
from shared.audit.actions import log_event
from shared.links.queries import link_url
from shared.outbox.actions import write_message
from shared.outbox.contact import MaySay, MessageKind
from shared.policy.queries import policies

if TYPE_CHECKING:
    from collections.abc import Callable

    from program.households.models import Household
    from shared.accounts.models import Program

WEEKLY_REPORTS = "weekly_reports"


def status_report(payload: dict[str, Any], program: Program) -> Callable[[], object] | None:
    """Return what writes the report of one case, for a plan or for a week.

    A case that was closed meanwhile, and a plan that another has followed, are told nothing.
    """
    rows = with_parts(Case.objects.open().filter(program=program))
    case = rows.filter(pk=payload["case"], household__isnull=False).first()
    if case is None or _is_followed(payload.get("plan"), program):
        return None
    household = case.household
    if household is None or household.safe_contact_on is None:
        said = "No status report: nobody has asked yet how they may safely be reached."
        return partial(log_event, case, said, by=None)
    plan = payload.get("plan")
    return partial(_write, case, household, f"plan:{plan}" if plan else payload["week"])


def _is_followed(plan: int | None, program: Program) -> bool:
    """Return whether the plan that was to be told is no longer the one in force."""
    if plan is None:
        return False
    rows = Plan.objects.filter(pk=plan, program=program)
    return not rows.filter(state=PlanState.APPROVED).exists()


def _write(case: Case, household: Household, about: str) -> None:
    """Write the mail and the day of the next word; called in one transaction with the job's end.

    What a plan says waits for somebody to read it through; a week's report goes by itself.
    """
    program = case.program
    days = policies(program, program.today())["next_word_days"]
    case.next_word_on = max(
        program.today() + dt.timedelta(days=days), case.next_word_on or program.today()
    )
    found = report_of(case)
    if found is None:
        return
    url = link_url(give_page(case=case, by=None)) if may_have_page(case) else ""
    with translation.override(household.address.language), timezone.override(program.zone):
        context = {"report": found, "program": program, "url": url}
        write_message(
            program=program,
            key=f"status:{case.pk}:{about}",
            address=household.address,
            kind=MessageKind.STATUS,
            tells=MaySay.PROGRESS,
            subject=translation.gettext("News about your car"),
            text=render_to_string("status/report.txt", context),
            to_read=about.startswith("plan:"),
        )
    case.save(update_fields=["next_word_on"])


def weekly_reports(_payload: dict[str, Any], program: Program) -> Callable[[], object]:
    """Return what asks for the reports of the week in which the slot's job runs."""
    return partial(ask_weekly_reports, program=program, on=program.today())
