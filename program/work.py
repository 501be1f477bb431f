"""What each kind of job does, and what is asked for again and again.

The runner calls `WORK[job.kind](job.payload, job.program)`; `shared.jobs.runner` says what such a
function may return.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from program.days import jobs as days
from program.days.actions import REPLAN
from program.grants.actions import CLAIM_PAPERS
from program.grants.papers import claim_papers
from program.importing.actions import IMPORT
from program.importing.actions import work as import_sheets
from program.planning import jobs as planning
from program.planning.actions import COMPUTE, DRAFT_APPEALS, EXPLAIN, TRY
from program.planning.approving import STATUS_REPORT
from program.planning.keeping import ASK_EXACTLY, RANK
from program.reports import jobs as reports
from program.reports.actions import YEAR_FILE
from program.status.sending import WEEKLY_REPORTS, status_report, weekly_reports
from shared.jobs.schedules import Schedule
from shared.outbox.actions import SEND
from shared.outbox.sending import send
from sponsors.matching.actions import match_due
from sponsors.pledges.actions import MATCH, expire_due
from vehicles.intake.keeping import PREPARE
from vehicles.intake.storing import SWEEP, prepare_photo, sweep_uploads

if TYPE_CHECKING:
    from shared.jobs.runner import Work

EXPIRE = "expire_pledges"

WORK: dict[str, Work] = {
    ASK_EXACTLY: planning.ask_exactly,
    CLAIM_PAPERS: claim_papers,
    COMPUTE: planning.compute_plan,
    DRAFT_APPEALS: planning.draft_appeals,
    IMPORT: import_sheets,
    planning.PLAN: planning.plan,
    RANK: planning.rank,
    REPLAN: days.replan,
    EXPIRE: expire_due,
    EXPLAIN: planning.explain_case,
    MATCH: match_due,
    PREPARE: prepare_photo,
    SEND: send,
    STATUS_REPORT: status_report,
    TRY: planning.try_what_if,
    SWEEP: sweep_uploads,
    WEEKLY_REPORTS: weekly_reports,
    YEAR_FILE: reports.make_year_file,
}

# By the program's own clock; none between 1:00 and 3:00, which may come twice or never.
SCHEDULES: tuple[Schedule, ...] = (
    Schedule(kind=EXPIRE, at=dt.time(3, 30)),
    Schedule(kind=SWEEP, at=dt.time(4)),
    Schedule(kind=DRAFT_APPEALS, at=dt.time(6), weekday=0),
    Schedule(kind=WEEKLY_REPORTS, at=dt.time(7), weekday=0),
)
