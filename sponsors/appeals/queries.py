"""Appeals a person may see, and what drafting reads."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from shared.outbox.contact import Channel, MessageState
from sponsors.appeals.drafting import Charity, Giver, Wanted
from sponsors.appeals.models import Appeal
from sponsors.appeals.states import AppealState
from sponsors.matching.queries import standing_reservations
from sponsors.register.models import Sponsor
from vehicles.repairs.queries import needs_to_ask, open_need
from vehicles.repairs.states import NeedState

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.db.models import QuerySet

    from shared.accounts.models import Program, User
    from sponsors.appeals.drafting import Ask


def appeals_for(user: User) -> QuerySet[Appeal]:
    """Return the appeals of the user's program with sponsor and mail, newest first."""
    rows = Appeal.objects.for_user(user)
    return rows.select_related("sponsor__address", "message", "decided_by")


def with_lines(rows: QuerySet[Appeal]) -> QuerySet[Appeal]:
    """Return the appeals with what they ask for; one more query."""
    return rows.prefetch_related("lines__need")


def wanted(program: Program, asks: Sequence[Ask]) -> list[Wanted]:
    """Return what is asked for and may be shown, with the units nothing is kept for.

    A need that is not open any more, whose text nobody approved, or that waits behind a gate is
    left out.
    """
    found = {need.pk: need for need in needs_to_ask(program)}
    kept = Counter(row.need_id for row in standing_reservations(program))
    return [
        Wanted(
            need=open_need(found[ask.need_id]),
            units=found[ask.need_id].quantity - kept[ask.need_id],
            frees_cars=ask.frees_cars,
            need_weight=ask.need_weight,
        )
        for ask in asks
        if ask.need_id in found
    ]


def sponsors_to_ask(program: Program) -> list[Sponsor]:
    """Return the sponsors that have not ended, with address, links and gifts; two queries."""
    rows = Sponsor.objects.active().filter(program=program)
    return list(
        rows.select_related("program", "address", "link", "stop_link").prefetch_related("gives")
    )


def shut(appeal: Appeal) -> list[str]:
    """Return what an appeal asks for and nobody may ask for now: it waits behind a gate since."""
    free = {need.pk for need in needs_to_ask(appeal.program)}
    lines = appeal.lines.filter(need__state=NeedState.OPEN).select_related("need")
    return [line.need.title for line in lines.order_by("position") if line.need_id not in free]


def giver(sponsor: Sponsor, every_days: int) -> Giver:
    """Return a sponsor as drafting reads them; `every_days` holds where they said nothing."""
    rule = sponsor.address.rule
    return Giver(
        id=sponsor.pk,
        name=sponsor.contact_name or sponsor.name,
        gives=tuple((given.system, given.part_kind) for given in sponsor.gives.all()),
        every_days=sponsor.ask_every_days or every_days,
        last_asked_on=sponsor.last_asked_on,
        opted_out=rule.opted_out or rule.barred,
        has_mail=rule.has_value and rule.channel is Channel.EMAIL,
    )


def charity(program: Program) -> Charity:
    """Return who asks."""
    return Charity(
        name=program.name,
        town=program.town,
        postal_address=program.postal_address,
        phone=program.phone,
    )


def drafted_in(program: Program, name: str) -> set[int]:
    """Return the sponsors that have an appeal in a round already."""
    rows = Appeal.objects.filter(program=program, round=name)
    return set(rows.values_list("sponsor_id", flat=True))


def became(appeal: Appeal) -> str:
    """Return in words where an appeal stands; once approved, where its mail stands."""
    if appeal.message is not None:
        return _MAIL[MessageState(appeal.message.state)]
    return _DECIDED[AppealState(appeal.state)]


_MAIL = {
    MessageState.WAITING: "approved, waits to be sent",
    MessageState.SENDING: "is being sent",
    MessageState.SENT: "sent",
    MessageState.HELD: "held back",
    MessageState.UNKNOWN: "nobody knows whether it went",
}
_DECIDED = {
    AppealState.DRAFTED: "needs a decision",
    AppealState.APPROVED: "approved",
    AppealState.SENT: "sent",
    AppealState.DROPPED: "dropped",
}
