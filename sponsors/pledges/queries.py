"""The pledges a person may see, with their units and what became of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import Count, Q

from shared.say import say
from sponsors.pledges.models import Pledge, PledgeQuerySet, Supply
from sponsors.pledges.states import (
    MARKS,
    PledgeState,
    SupplyState,
    furthest,
    what_became,
)
from sponsors.register.models import Gives
from vehicles.repairs.models import Need
from vehicles.repairs.queries import open_need

if TYPE_CHECKING:
    import datetime as dt

    from shared.accounts.models import Program, User
    from shared.say import Say
    from sponsors.register.models import Sponsor
    from vehicles.repairs.open_needs import OpenNeed

# A unit is in a car that went home: the need it was kept for is on a vehicle handed back. The
# rooms that know this come later, or belong to vehicles; they are reached by the relations' names.
_HANDED_BACK = Q(
    units__state=SupplyState.FITTED,
    units__reservations__freed_at=None,
    units__reservations__need__item__intake__vehicle__condition__step="handed_back",
)

_ENDED = {
    PledgeState.TAKEN_BACK: say("taken back"),
    PledgeState.EXPIRED: say("ran out"),
}


def in_short(need: OpenNeed) -> str:
    """Return a need in a few words, such as `Radiator, 2012 Toyota Corolla`."""
    return ", ".join(part for part in (need.title, need.for_car) if part)


@dataclass(frozen=True, kw_only=True)
class Given:
    """One pledge as its sponsor reads it."""

    id: int
    title: str
    quantity: int
    mark: str
    word: Say | None
    since_on: dt.date
    expires_on: dt.date | None
    became: Say
    may_be_taken_back: bool


def pledges_for(user: User) -> PledgeQuerySet:
    """Return the pledges of the user's program with sponsor and units, newest first."""
    rows = Pledge.objects.for_user(user).select_related("sponsor")
    return with_units(rows)


def pledges_of(sponsor: Sponsor) -> PledgeQuerySet:
    """Return the pledges of one sponsor with their units, newest first."""
    return with_units(Pledge.objects.filter(sponsor=sponsor, program_id=sponsor.program_id))


def with_units(rows: PledgeQuerySet) -> PledgeQuerySet:
    """Return the pledges with their units and the number of units in cars that went home."""
    on_the_road = Count("units", filter=_HANDED_BACK, distinct=True)
    found = rows.prefetch_related("units").annotate(on_the_road=on_the_road)
    return found.order_by("-pledged_on", "-pk")  # counting drops the model's own order


def given(pledge: Pledge) -> Given:
    """Return a pledge read by `with_units` as its sponsor may see it."""
    units = [SupplyState(unit.state) for unit in pledge.units.all()]
    there = [state for state in units if state is not SupplyState.GONE]
    state = PledgeState(pledge.state)
    return Given(
        id=pledge.pk,
        title=pledge.title,
        quantity=pledge.quantity,
        mark=MARKS[furthest(units)],
        word=None if there else _ENDED.get(state, _ENDED[PledgeState.TAKEN_BACK]),
        since_on=pledge.pledged_on,
        expires_on=pledge.expires_on,
        became=what_became(
            pledge.kind.replace("_", " "),
            there,
            on_the_road=getattr(pledge, "on_the_road", 0),
            ended=state,
        ),
        may_be_taken_back=may_be_taken_back(pledge),
    )


def may_be_taken_back(pledge: Pledge) -> bool:
    """Return whether a pledge still stands and none of its units has arrived."""
    states = {unit.state for unit in pledge.units.all()}
    return pledge.state == PledgeState.INTENDED and not states - {
        SupplyState.PLEDGED,
        SupplyState.GONE,
    }


def known_kinds(program: Program) -> frozenset[str]:
    """Return the codes of all parts that were ever needed, given or offered here; three queries."""
    needed = Need.objects.filter(program=program).values_list("kind", flat=True)
    offered = Supply.objects.filter(program=program).values_list("kind", flat=True)
    listed = Gives.objects.filter(program=program).values_list("part_kind", flat=True)
    return frozenset({*needed, *offered, *listed} - {""})


def kinds_in_words(program: Program) -> list[str]:
    """Return the parts that a pledge may be of, as people write them, such as `brake pads`."""
    return sorted(kind.replace("_", " ") for kind in known_kinds(program))


def with_needs(rows: PledgeQuerySet) -> PledgeQuerySet:
    """Return the pledges with the needs that their units are kept for; two more queries."""
    return rows.prefetch_related("units__reservations__need")


def kept_for(pledge: Pledge) -> list[str]:
    """Return the needs for which units of a pledge read by `with_needs` are kept, in words."""
    standing = (
        reservation.need
        for unit in pledge.units.all()
        for reservation in unit.reservations.all()
        if reservation.freed_at is None
    )
    return [in_short(open_need(need)) for need in standing]
