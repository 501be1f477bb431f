"""Gifts with a purpose, before they are booked."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from program.gifts.states import OfferState
from program.ledger.models import Entry, Fund
from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import above_zero, exactly_one_of
from sponsors.register.models import Sponsor

if TYPE_CHECKING:
    from shared.accounts.models import User


class OfferQuerySet(models.QuerySet["Offer"]):
    """Offered gifts, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the offers of the user's program."""
        return self.filter(program_id=user.program_id)


class Offer(ProgramOwned):
    """A gift with a purpose: tested, then accepted or refused by a named person, then booked."""

    giver = models.CharField(max_length=120)
    sponsor = models.ForeignKey(Sponsor, models.PROTECT, null=True, blank=True, related_name="+")
    cents = models.BigIntegerField()
    income = models.CharField("income account", max_length=10)
    on = models.DateField("offered on")
    terms = models.CharField("what the giver asks, in their words", max_length=500)
    fund = models.ForeignKey(
        Fund, models.PROTECT, null=True, blank=True, related_name="offers", help_text="An open one."
    )
    fund_name = models.CharField("name of a new fund", max_length=80, blank=True)
    rule = models.JSONField(default=dict, blank=True)
    lapses_on = models.DateField(null=True, blank=True)
    barrier = models.CharField(
        max_length=200, blank=True, help_text="What has to be reached before the money is ours."
    )
    returns = models.BooleanField("goes back if that is not reached", default=False)
    arrived = models.BooleanField("the money is here", default=True)
    state = models.CharField(
        max_length=10, choices=choices_of(OfferState), default=OfferState.OFFERED
    )
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    decided_at = models.DateTimeField(null=True, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    entry = models.OneToOneField(Entry, models.PROTECT, null=True, blank=True, related_name="offer")
    met_entry = models.OneToOneField(
        Entry, models.PROTECT, null=True, blank=True, related_name="offer_met"
    )
    version = models.PositiveIntegerField(default=1)
    client_key = models.UUIDField()

    objects = OfferQuerySet.as_manager()

    class Meta:
        ordering = ["-on", "-pk"]
        constraints = [
            exactly_one_of("offer_state_known", "state", OfferState),
            above_zero("offer_cents_above_zero", "cents", "A gift"),
            models.UniqueConstraint(
                fields=["program", "client_key"],
                name="offer_written_once",
                violation_error_message="This gift is on record already.",
            ),
            models.CheckConstraint(
                name="offer_decided_by_somebody",
                condition=Q(state=OfferState.OFFERED) | Q(decided_by__isnull=False),
                violation_error_message="A named person accepts or refuses a gift.",
            ),
            models.CheckConstraint(
                name="offer_refused_with_reason",
                condition=~Q(state=OfferState.REFUSED) | ~Q(reason=""),
                violation_error_message="Say why the gift is refused.",
            ),
        ]

    def __str__(self) -> str:
        return f"gift of {self.giver}"
