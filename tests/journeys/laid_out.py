"""Rows of the days in the demonstration, for their addresses."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.days.actions import make_calendar, tell_trouble
from program.days.queries import newest_replan
from program.days.states import TroubleKind
from shared.links.queries import link_token
from shared.models import Program, User
from tests.journeys.looked_into import each
from vehicles.models import Bay

if TYPE_CHECKING:
    from tests.journeys.looked_into import Rows


def days() -> Rows:
    """Return what the addresses of the days take: a closed bay, a proposal, a calendar."""
    program, user = Program.objects.get(), User.objects.get(username="rosalind")
    today = program.today()
    trouble = tell_trouble(
        program=program,
        kind=TroubleKind.BAY_CLOSED,
        from_on=today,
        until_on=today,
        by=user,
        bay=Bay.objects.filter(program=program).earliest("pk"),
    )
    feed = make_calendar(program=program, person=None, by=user)
    job = newest_replan(program)
    proposal = [[job.pk if job else 0]]
    return [
        ("days:trouble_tell", [[kind.value] for kind in TroubleKind]),
        ("days:trouble_take_back", [[trouble.pk]]),
        *each(proposal, "days:proposal_accept", "days:proposal_keep", "days:replan_stop"),
        ("days:calendar_end", [[feed.pk]]),
        ("days:calendar_feed", [[link_token(feed.link)]]),
    ]
