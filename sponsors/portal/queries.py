"""What a sponsor's pages read: the sponsor, the needs as outsiders may see them, own pledges."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sponsors.appeals.drafting import fits_gift
from sponsors.matching.queries import standing_reservations
from sponsors.pledges.queries import given, in_short, pledges_of
from sponsors.portal.offering import offered
from sponsors.register.models import Sponsor
from vehicles.repairs.queries import needs_to_ask, open_need

if TYPE_CHECKING:
    from shared.accounts.models import Program, User
    from shared.links.models import AccessLink
    from sponsors.pledges.queries import Given
    from vehicles.repairs.open_needs import OpenNeed
    from vehicles.repairs.parts import Part


@dataclass(frozen=True, kw_only=True)
class Wish:
    """An open need as a sponsor reads it: the units nothing is kept for, and the part to pledge."""

    need: OpenNeed
    units: int
    part: Part

    @property
    def title(self) -> str:
        """The need in a few words."""
        return in_short(self.need)


def sponsor_of_link(link: AccessLink) -> Sponsor | None:
    """Return the sponsor whose pages a link opens; a sponsor who ended has none."""
    rows = Sponsor.objects.active().select_related("program", "address").prefetch_related("gives")
    return rows.filter(link=link).first()


def sponsor_of_user(user: User) -> Sponsor | None:
    """Return the sponsor for whom a user signs in."""
    rows = Sponsor.objects.active().of_contact(user)
    return rows.select_related("program", "address").prefetch_related("gives").first()


def sponsor_of_stop(link: AccessLink) -> Sponsor | None:
    """Return the sponsor whose mail a link stops, also one who ended."""
    return Sponsor.objects.filter(stop_link=link).select_related("program", "address").first()


def wishes(program: Program) -> list[Wish]:
    """Return the open needs that lack a part, lowest tier first, then the oldest.

    Only needs whose text the coordinator approved, none that a part is kept for already, and none
    behind a gate. As many queries for one as for a thousand.
    """
    kept = Counter(row.need_id for row in standing_reservations(program))
    found = [_wish(open_need(need), kept[need.pk]) for need in needs_to_ask(program)]
    lacking = [wish for wish in found if wish.units > 0]
    return sorted(lacking, key=lambda one: (one.need.tier, one.need.opened_on, one.need.id))


def _wish(need: OpenNeed, kept: int) -> Wish:
    return Wish(need=need, units=need.quantity - kept, part=offered(need))


def wish(program: Program, pk: int) -> Wish | None:
    """Return one need that still lacks a part, or None."""
    return next((one for one in wishes(program) if one.need.id == pk), None)


def fitting(sponsor: Sponsor, rows: list[Wish]) -> tuple[list[Wish], list[Wish]]:
    """Return the needs within what a sponsor gives, and all others, each in their order."""
    gives = [(row.system, row.part_kind) for row in sponsor.gives.all()]
    own = [one for one in rows if fits_gift(gives, one.need)]
    return own, [one for one in rows if one not in own]


def own_pledges(sponsor: Sponsor) -> list[Given]:
    """Return a sponsor's pledges as they read them, newest first; two queries."""
    return [given(pledge) for pledge in pledges_of(sponsor)]
