"""What an offered gift would do, who may decide on it, and whom its terms may name."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import Q

from program.funds.lapsing import will_lapse
from program.gifts.earmarks import Named, earmarks
from program.gifts.posting import Standing, is_conditional
from program.gifts.states import OfferState
from program.households.models import Household
from program.ledger import restrictions
from program.ledger.labels import kind_of
from program.ledger.models import Entry
from program.ledger.queries import pure_fund
from program.ledger.rules import from_dict
from shared.accounts.roles import RoleKind
from shared.money import usd
from shared.policy.queries import policies
from shared.problems import Level, Problem
from shared.say import say

if TYPE_CHECKING:
    import datetime as dt

    from django.db.models import QuerySet

    from program.gifts.models import Offer
    from shared.accounts.models import Program, User

STEPS = {
    "offer": "that it was accepted",
    "offer-in": "that the money came",
    "offer-met": "that the condition was reached",
}
DECIDERS = frozenset({RoleKind.BOARD, RoleKind.TREASURER})


def fund_of(offer: Offer) -> restrictions.Fund:
    """Return the fund that would hold the gift: an open one, or the one it would open."""
    if offer.fund:
        return pure_fund(offer.fund)
    rule = from_dict(offer.rule)
    return restrictions.Fund(
        code=code_of(offer), name=offer.fund_name or "gift", restricted=True, rule=rule
    )


def code_of(offer: Offer) -> str:
    """Return the code of the fund that the gift opens."""
    return f"GIFT{offer.pk}"


def standing_of(offer: Offer) -> Standing:
    """Return where a gift stands, for booking it."""
    open_condition = is_conditional(offer.barrier, returns=offer.returns) and not offer.met_entry_id
    return Standing(income=offer.income, arrived=offer.arrived, conditional=open_condition)


def named_households(program: Program) -> list[Named]:
    """Return every household of the program by name, with the numbers of its cases; one query."""
    cases: dict[tuple[int, str], list[str]] = {}
    rows = Household.objects.filter(program=program).values_list("pk", "name", "cases__number")
    for pk, name, number in rows.order_by("pk", "cases__number"):
        cases.setdefault((pk, name), []).extend([number] if number else [])
    return [Named(name=name, cases=tuple(numbers)) for (_pk, name), numbers in cases.items()]


def against(offer: Offer) -> list[Problem]:
    """Return what stands against accepting a gift: an earmark, or a fund that was closed."""
    found = [one.problem for one in earmarks(offer.terms, named_households(offer.program))]
    if offer.fund and offer.fund.closed_on:
        sentence = say("The {fund} was closed.", fund=offer.fund.name)
        found.append(Problem(sentence, remedy=say("Change the gift and name an open fund.")))
    return found


def to_know(offer: Offer, today: dt.date) -> list[Problem]:
    """Return what whoever decides should know, though it bars nothing."""
    fund = fund_of(offer)
    lapse = will_lapse(fund.name, offer.cents, lapse_of(offer), today)
    found = [lapse] if lapse else []
    if not fund.restricted:
        sentence = say("The {fund} isn't held to what the giver asks.", fund=fund.name)
        remedy = say("Take a restricted fund, unless the giver only told a preference.")
        found.append(Problem(sentence, remedy=remedy, level=Level.WARNING))
    elif not fund.rule.to_dict():
        sentence = say("The rule of the {fund} has no limits yet.", fund=fund.name)
        remedy = say("Say what it may pay for, so that the ledger keeps to it.")
        found.append(Problem(sentence, remedy=remedy, level=Level.WARNING))
    return found


def lapse_of(offer: Offer) -> dt.date | None:
    """Return the last day on which the gift could be spent, by the earliest of its days."""
    days = [offer.lapses_on, fund_of(offer).rule.until_on]
    days += [offer.fund.lapses_on] if offer.fund else []
    return min((day for day in days if day), default=None)


def may_not_decide(offer: Offer, user: User) -> Problem | None:
    """Return why the user may not decide on a gift, or None where they may."""
    if not user.is_any_of(DECIDERS):
        return Problem(say("The treasurer or the board decides on a gift with a purpose."))
    most = policies(offer.program, offer.program.today())["two_people_cents"]
    if offer.by_id == user.pk and offer.cents > most:
        return Problem(
            say(
                "You entered this gift. Over {most}, somebody else decides: the treasurer or the "
                "board.",
                most=usd(most),
            )
        )
    return None


@dataclass(frozen=True, kw_only=True)
class NextSteps:
    """What is still to be written down of a gift; `undo` is the last step, which can go back."""

    decide: bool
    arrive: bool
    meet: bool
    send_back: bool
    undo: str = ""


def next_steps(offer: Offer) -> NextSteps:
    """Return what is still open of a gift, by where it stands."""
    taken = offer.state == OfferState.ACCEPTED
    return NextSteps(
        decide=offer.state == OfferState.OFFERED,
        arrive=taken and not offer.arrived,
        meet=taken and standing_of(offer).conditional,
        send_back=offer.state == OfferState.REFUSED and offer.arrived,
        undo=STEPS[kind_of(last_key(offer))] if taken else "",
    )


def entries_of(offer: Offer, *kinds: str) -> QuerySet[Entry]:
    """Return what was booked for a gift by these steps, the newest first."""
    keys = [f"{kind}:{offer.pk}" for kind in kinds or STEPS]
    named = Q()
    for key in keys:
        named |= Q(key=key) | Q(key__startswith=f"{key}:")
    return Entry.objects.filter(named, program=offer.program_id).order_by("-pk")


def last_booked(offer: Offer) -> Entry | None:
    """Return the newest entry of a gift that stands; the bank may have returned its deposit."""
    return entries_of(offer).filter(reversed_by=None).first()


def last_key(offer: Offer) -> str:
    """Return the key of the step that comes off first; without an entry, the yes itself."""
    entry = last_booked(offer)
    return entry.key if entry else f"offer:{offer.pk}"
