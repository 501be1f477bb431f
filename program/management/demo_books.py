"""What the treasurer of the demonstration has done already: two grants, two gifts, months shut.

All of it is invented, and goes through the same actions as what a person types.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Final
from uuid import UUID, uuid5

from program.closing.actions import record_duty, shut_month, tick_step
from program.closing.duties import Standing
from program.closing.kinds import StepKind
from program.closing.queries import duty_rows, shut_months
from program.gifts.actions import enter_offer, refuse_offer
from program.gifts.states import OfferState
from program.grants import duties
from program.grants.actions import draft_claim, send_claim
from program.grants.answering import refuse_part
from program.grants.models import Grant
from program.grants.queries import book_of
from program.grants.sheet import cost_lines
from program.grants.states import ClaimCycle, GrantPays
from program.grants.writing import Award, add_grant
from program.ledger.fiscal import first_of, months
from program.ledger.models import Entry, Fund
from shared.accounts.models import User

if TYPE_CHECKING:
    from shared.accounts.models import Program

#: Whose keys these are, so that a second start of the demonstration writes nothing twice.
SPACE: Final = UUID("6f1f1f0a-2f0b-5c37-9d2b-7f6f4f6d2a10")
GRANT: Final = "ORR"
OPEN_DAYS: Final = 92  # so long ago the last shut month ended, at least
SENT_DAYS: Final = 6  # after its quarter the claim goes out
LETTER_DAYS: Final = 9  # so long ago the funder's letter came
ON_PAPER: Final = "Done on paper, before the books came here."


def make_books(program: Program) -> None:
    """Write what is missing; what is there stays as it is."""
    jonas, imke = (User.objects.get(username=name) for name in ("jonas", "imke"))
    _grant(program, jonas)
    _claim(program, jonas)
    _gifts(program, enters=imke, decides=jonas)
    _months(program, jonas)
    _duties(program, jonas)


def _grant(program: Program, by: User) -> None:
    fund = Fund.objects.filter(program=program, code=GRANT).first()
    if fund is None or fund.lapses_on is None or Grant.objects.filter(fund=fund).exists():
        return
    award = Award(
        funder="Orrin County",
        number="OC-114",
        cents=400_000,
        pays=GrantPays.AHEAD,
        own_percent=0,
        accounts=("6010", "6030"),
        cycle=ClaimCycle.ONCE,
        due_days=30,
        begins_on=fund.opened_on,
        ends_on=fund.lapses_on,
        terms="Parts and work elsewhere for households in Orrin County who drive to work.",
    )
    add_grant(
        program=program,
        award=award,
        fund=fund,
        fund_code="",
        fund_name="",
        client_key=uuid5(SPACE, "grant"),
        by=by,
    )


def _claim(program: Program, by: User) -> None:
    """Claim the costs of the last quarter that is over, of which the funder refuses the smallest.

    Nothing of it is paid yet: no fund holds more money by it.
    """
    if not Entry.objects.filter(program=program).exists():
        return
    grant, today = _paid_after(program, by), program.today()
    due = duties.due(book_of(grant, today), today)
    if not due or grant.claims.exists():
        return
    over = due[0].cycle.until_on
    claim = draft_claim(grant=grant, until_on=over, by=by)
    sent_on = min(over + dt.timedelta(days=SENT_DAYS), today)
    claim = send_claim(claim=claim, version=claim.version, on=sent_on, by=by)
    costs = sorted(cost_lines(claim), key=lambda cost: cost.cents)
    if len(costs) > 1 and costs[0].cents > 0:
        refuse_part(
            claim=claim,
            version=claim.version,
            on=max(sent_on, today - dt.timedelta(days=LETTER_DAYS)),
            cents=costs[0].cents,
            reason="The bill does not say which car it was for.",
            freed=[costs[0].id],
            by=by,
        )


def _paid_after(program: Program, by: User) -> Grant:
    """Return the grant that pays after, begun with the last quarter that is over."""
    today = program.today()
    until_on = dt.date(today.year, (today.month - 1) // 3 * 3 + 1, 1) - dt.timedelta(days=1)
    begins_on = dt.date(until_on.year, until_on.month - 2, 1)
    award = Award(
        funder="Bramwick Mill Trust",
        number="MT-26",
        cents=150_000,
        pays=GrantPays.AFTER,
        own_percent=0,
        accounts=("6010", "6030"),
        cycle=ClaimCycle.QUARTERLY,
        due_days=30,
        begins_on=begins_on,
        ends_on=begins_on + dt.timedelta(days=364),
        terms="Parts and work elsewhere, each with a bill that names the car.",
    )
    return add_grant(
        program=program,
        award=award,
        fund=None,
        fund_code="MILL",
        fund_name="Mill Trust parts grant",
        client_key=uuid5(SPACE, "paid after"),
        by=by,
    )


def _gifts(program: Program, *, enters: User, decides: User) -> None:
    """Enter one gift that waits for a yes, and one that names a person, which is refused."""
    today = program.today()
    enter_offer(
        program=program,
        client_key=uuid5(SPACE, "tires"),
        by=enters,
        giver="Alder Grange",
        cents=60_000,
        income="4020",
        on=today - dt.timedelta(days=4),
        terms="For tires and brakes, before the snow.",
        fund_name="Alder Grange gift",
        rule={"systems": ["brakes", "tires"]},
    )
    named = enter_offer(
        program=program,
        client_key=uuid5(SPACE, "named"),
        by=enters,
        giver="P. Hartwell",
        cents=25_000,
        income="4010",
        on=today - dt.timedelta(days=11),
        terms="Only for my neighbor’s car.",
        fund_name="Hartwell gift",
        arrived=False,
    )
    if named.state == OfferState.OFFERED:
        reason = "Meant for one person. Told him what an open gift could do."
        refuse_offer(offer=named, reason=reason, version=named.version, by=decides)


def _months(program: Program, by: User) -> None:
    """Shut the months that are long over, oldest first, each line of the list ticked."""
    oldest = Entry.objects.filter(program=program).order_by("on").first()
    if oldest is None:
        return
    last = first_of(program.today() - dt.timedelta(days=OPEN_DAYS)) - dt.timedelta(days=1)
    shut = shut_months(program)
    for month in months(oldest.on, last):
        if month in shut:
            continue
        for kind in StepKind:
            tick_step(program=program, month=month, kind=kind, note=ON_PAPER, by=by)
        shut_month(program=program, month=month, by=by)


def _duties(program: Program, by: User) -> None:
    """Say of what the year has asked already that it was done, each on its day."""
    today = program.today()
    for year in (today.year - 1, today.year):
        for row in duty_rows(program, year, today):
            if row.standing == Standing.OVERDUE and row.due.on and not row.due.page:
                record_duty(
                    year=year, code=row.due.duty.code, on=row.due.on, note="", applies=True, by=by
                )
