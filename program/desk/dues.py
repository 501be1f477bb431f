"""What waits for whoever keeps the books: what two decide, gifts, the bank, the month, duties."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from program.bank.models import BankStatement
from program.closing.queries import booked_months, next_duties, shut_months
from program.closing.steps import named
from program.desk.queries import page_of
from program.desk.wording import Slip, due, lower
from program.gifts.models import Offer
from program.gifts.states import OfferState
from program.grants.queries import due_claims
from program.ledger.fiscal import last_of
from program.ledger.models import Proposal
from program.ledger.states import ProposalState
from shared.money import usd
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Iterator

    from program.grants.duties import Due
    from shared.accounts.models import Program, User

DECIDE_DAYS = 7  # a gift or a spend that waits longer is forgotten (common practice)
SHUT_DAYS = 15  # days after its end until a month is shut (common practice)
CLAIM_DAYS = 14  # a claim that is due so soon is shown


def to_agree(user: User) -> Iterator[Slip]:
    """Yield the spends that wait for a second person, asked by others."""
    rows = Proposal.objects.filter(program=user.program, state=ProposalState.WAITING)
    waiting = list(rows.exclude(by=user).order_by("at", "pk"))
    if not waiting or user.program is None:
        return
    first, today = waiting[0], user.program.today()
    day = first.at.astimezone(user.program.zone).date() + dt.timedelta(days=DECIDE_DAYS)
    title, url = say("Agree to a spend, or decline it"), page_of("ledger:proposal_page", first.pk)
    if len(waiting) > 1:
        title = say("Agree to {count} spends, or decline them", count=lower(len(waiting)))
        url = page_of("ledger:entry_list", query="#waiting")
    why = say("{what}: two people decide it.", what=first.what)
    yield Slip(title=title, why=why, by=due(day, today), due_on=day, url=url, count=len(waiting))


def money_slips(user: User) -> list[Slip]:
    """Return what waits for a treasurer; in no order."""
    program = user.program
    if program is None:
        return []
    today = program.today()
    return [
        *to_agree(user),
        *_offers(program, today),
        *_bank(program, today),
        *_month(program, today),
        *_claims(program, today),
        *_duties(program, today),
    ]


def _offers(program: Program, today: dt.date) -> Iterator[Slip]:
    rows = list(Offer.objects.filter(program=program, state=OfferState.OFFERED).order_by("on"))
    if not rows:
        return
    first, day = rows[0], rows[0].on + dt.timedelta(days=DECIDE_DAYS)
    title = say("Accept or refuse a gift of {amount}", amount=usd(first.cents))
    url = page_of("gifts:offer_page", first.pk)
    why = say("{giver} gives it for a purpose.", giver=first.giver)
    if len(rows) > 1:
        title = say("Accept or refuse {count} gifts", count=lower(len(rows)))
        url = page_of("gifts:offer_list")
    yield Slip(title=title, why=why, by=due(day, today), due_on=day, url=url, count=len(rows))


def _bank(program: Program, today: dt.date) -> Iterator[Slip]:
    rows = BankStatement.objects.filter(program=program, reconciled_at=None)
    first = rows.order_by("until_on", "pk").first()
    if first is None:
        return
    day = first.until_on + dt.timedelta(days=SHUT_DAYS)
    title = say("Finish a bank statement")
    why = say("What the bank says and what is booked are not brought together yet.")
    url = page_of("bank:statement_page", first.pk)
    yield Slip(title=title, why=why, by=due(day, today), due_on=day, url=url, count=rows.count())


def _month(program: Program, today: dt.date) -> Iterator[Slip]:
    """Yield the oldest month that is over and not shut."""
    shut = shut_months(program)
    over = [month for month in booked_months(program) if last_of(month) < today]
    month = next((month for month in over if month not in shut), None)
    if month is None:
        return
    day = last_of(month) + dt.timedelta(days=SHUT_DAYS)
    title = say("Shut {month}", month=named(month))
    why = say("Its list says what is still open.")
    url = page_of("closing:month_page", month.year, month.month)
    yield Slip(title=title, why=why, by=due(day, today), due_on=day, url=url)


def _claims(program: Program, today: dt.date) -> Iterator[Slip]:
    """Yield one thing for each grant: the claim or report of it that is due first."""
    grants: dict[int, list[Due]] = {}
    for one in due_claims(program, today):
        if one.due_on <= today + dt.timedelta(days=CLAIM_DAYS):
            grants.setdefault(one.grant_id, []).append(one)
    for pk, rows in grants.items():
        first = min(rows, key=lambda one: one.due_on)
        yield Slip(
            title=say("{what} of the {name}", what=first.what, name=first.name),
            why=say("{cycle}: {amount}.", cycle=first.cycle.name, amount=usd(first.cents)),
            by=due(first.due_on, today),
            due_on=first.due_on,
            url=page_of("grants:grant_page", pk),
            count=len(rows),
        )


def _duties(program: Program, today: dt.date) -> Iterator[Slip]:
    """Yield the duties of the year that are due, as one thing."""
    rows = next_duties(program, today)
    days = [row.due.on for row in rows if row.due.on]
    if not days:
        return
    title = say("See to a duty of the year")
    if len(days) > 1:
        title = say("See to {count} duties of the year", count=lower(len(days)))
    why = say("{duty}.", duty=rows[0].due.duty.title)
    url = page_of("closing:duties")
    yield Slip(
        title=title, why=why, by=due(days[0], today), due_on=days[0], url=url, count=len(days)
    )
