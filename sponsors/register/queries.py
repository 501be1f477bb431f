"""Sponsors as the coordinator's pages show them."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import Count, Q

from sponsors.register.models import Gives, Sponsor, SponsorQuerySet
from vehicles.shop.systems import System

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from shared.accounts.models import User

# Pledges and appeals belong to later rooms; they are read by the names of their relations.
OPEN_PLEDGES = Count("pledges", filter=Q(pledges__state="intended"), distinct=True)


def sponsors_for(user: User) -> SponsorQuerySet:
    """Return the sponsors of the user's program with address, gifts and number of open pledges."""
    rows = Sponsor.objects.for_user(user).select_related("address", "link", "stop_link")
    found = rows.prefetch_related("gives").annotate(open_pledges=OPEN_PLEDGES)
    return found.order_by("name", "pk")  # counting drops the model's own order


def in_words(gives: Iterable[Gives]) -> str:
    """Return what a sponsor gives, such as `Cooling, Battery: battery`."""
    rows = sorted(gives, key=lambda row: (list(System).index(System(row.system)), row.part_kind))
    return ", ".join(_one(row) for row in rows)


def _one(row: Gives) -> str:
    label = System(row.system).label
    return f"{label}: {row.part_kind.replace('_', ' ')}" if row.part_kind else label


@dataclass(frozen=True, kw_only=True)
class PledgeLine:
    """A pledge in one line of its sponsor's page."""

    title: str
    quantity: int
    on: dt.date
    until: dt.date | None
    units: str


@dataclass(frozen=True, kw_only=True)
class AppealLine:
    """An appeal in one line of its sponsor's page."""

    id: int
    round: str
    subject: str
    became: str


def pledges_in_words(sponsor: Sponsor) -> list[PledgeLine]:
    """Return a sponsor's pledges, newest first, with where their units stand; two queries."""
    return [
        PledgeLine(
            title=pledge.title,
            quantity=pledge.quantity,
            on=pledge.pledged_on,
            until=pledge.expires_on,
            units=_units([unit.state for unit in pledge.units.all()]),
        )
        for pledge in sponsor.pledges.prefetch_related("units")
    ]


def _units(states: Sequence[str]) -> str:
    """Return such as `2 on shelf, 1 fitted`."""
    counts = Counter(states).items()
    return ", ".join(f"{count} {state.replace('_', ' ')}" for state, count in counts)


def appeals_in_words(sponsor: Sponsor) -> list[AppealLine]:
    """Return a sponsor's appeals, newest first, with what became of each; one query."""
    return [
        AppealLine(
            id=appeal.pk,
            round=appeal.round,
            subject=appeal.subject,
            became=appeal.message.state if appeal.message else appeal.state,
        )
        for appeal in sponsor.appeals.select_related("message")
    ]
