"""The parts of the first page that are drawn: where the cars are, the week, the money."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.html import format_html, format_html_join

from program.desk.wording import plan_leads
from program.ledger.models import Fund
from program.ledger.queries import free_cents, held
from program.planning.queries import set_aside_by_fund
from shared.charts import FundBar, fund_bars, tally
from shared.charts import Step as Knot
from shared.dates import DAYS_A_WEEK, week_start
from shared.say import Say, say
from vehicles.custody.conditions import Step

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from django.utils.safestring import SafeString

    from program.cases.models import Case
    from program.planning.models import Plan
    from program.planning.outcome import Outcome
    from shared.accounts.models import Program
    from shared.charts import Chart

MOST_NAMED = 12  # cars of one day; all of them stand in the week's plan
SHOWN_STEPS = tuple(Step)[: list(Step).index(Step.HANDED_BACK) + 1]


def where_cars_are(cases: Iterable[Case], today: dt.date) -> Chart | None:
    """Return the tally of open cases by their car's step; None while no case has a car."""
    waits: dict[Step, list[int]] = {step: [] for step in SHOWN_STEPS}
    for case in cases:
        condition = getattr(case.vehicle, "condition", None)
        if condition and condition.step in waits:
            since = condition.since_at.astimezone(case.program.zone).date()
            waits[Step(condition.step)].append(max((today - since).days, 0))
    if not any(waits.values()):
        return None
    return tally(
        [
            Knot(label=step.label.lower(), count=len(days), longest_days=max(days, default=0))
            for step, days in waits.items()
        ]
    )


def leads(plan: Plan | None, outcome: Outcome | None, deciding: int) -> tuple[Say, ...]:
    """Return the lead of the desk; before the first plan it says that there is none."""
    if plan is None or outcome is None:
        return (say("No plan is computed yet."),)
    return plan_leads(
        len(outcome.homes),
        max((home.by_on for home in outcome.homes), default=None),
        approved=bool(plan.approved_at),
        deciding=deciding,
        waiting=sum(not wait.held for wait in outcome.waits),
    )


@dataclass(frozen=True, kw_only=True)
class Day:
    """One day of the week: which cars come into a bay and which may go home, and the bays."""

    at: dt.date
    sentence: SafeString
    by: str


def week_of(plan: Plan, today: dt.date) -> dt.date:
    """Return the Monday of the week to show: this one, or the plan's first while that is ahead."""
    return max(week_start(today), plan.first_week_on)


def days_of(outcome: Outcome, monday: dt.date, names: dict[str, str]) -> list[Day]:
    """Return the days of one week on which something is planned for the cases in `names`."""
    found = []
    for day in (monday + dt.timedelta(days=i) for i in range(DAYS_A_WEEK)):
        starts = [s for s in outcome.stays if s.first_on == day and s.case_id in names]
        homes = [h for h in outcome.homes if h.from_on == day and h.case_id in names]
        if starts or homes:
            sentence = _told(
                ("Into a bay", [stay.case_id for stay in starts]),
                ("May go home from now on", [home.case_id for home in homes]),
                names=names,
            )
            bays = ", ".join(dict.fromkeys(stay.bay for stay in starts))
            found.append(Day(at=day, sentence=sentence, by=bays))
    return found


def _told(*parts: tuple[str, list[str]], names: dict[str, str]) -> SafeString:
    """Return each part that holds a case: what is planned, then the first numbers and names."""
    sentences = []
    for what, numbers in parts:
        once = list(dict.fromkeys(numbers))
        cases = ((number, names[number]) for number in once[:MOST_NAMED])
        listed = format_html_join(", ", '<span class="nb">{}</span> {}', cases)
        if len(once) > MOST_NAMED:
            listed = format_html("{} and {} more", listed, len(once) - MOST_NAMED)
        if once:
            sentences.append((what, listed))
    return format_html_join(" ", "{}: {}.", sentences)


def short_names(cases: Sequence[Case]) -> dict[str, str]:
    """Return a case's name on the board: the family name, or the car, by number."""
    return {
        case.number: case.household.name.split()[-1] if case.household else str(case.vehicle)
        for case in cases
    }


def money(outcome: Outcome | None, program: Program) -> tuple[Chart | None, int]:
    """Return the funds as bars, after the plan where there is one, and what the board keeps back.

    Before the first plan, what is free now is read from the ledger.
    """
    if outcome:
        bars = [
            FundBar(
                name=_capital(fund.name),
                set_aside=fund.set_aside_cents,
                this_plan=fund.plan_cents,
                left=fund.left_cents,
            )
            for fund in outcome.funds
        ]
        return (fund_bars(bars) if bars else None), sum(fund.kept_cents for fund in outcome.funds)
    funds = list(Fund.objects.filter(program=program, closed_on=None))
    free, before = free_cents(funds, held(program)), set_aside_by_fund(program)
    bars = [
        FundBar(
            name=_capital(fund.name),
            set_aside=before.get(fund.code, 0),
            this_plan=0,
            left=free[fund.code],
        )
        for fund in funds
    ]
    return (fund_bars(bars) if bars else None), 0


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]


def decided_last(case: Case) -> tuple[bool, dt.date, int]:
    """Return what cases are sorted by when the day to decide by that is nearest stands first."""
    day = case.household.decide_by_on if case.household else None
    return day is None, day or case.opened_on, case.pk
