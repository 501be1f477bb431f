"""Sponsors: who gives, what they give, and how often they may be asked."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.links.models import AccessLink
from shared.outbox.models import Address
from shared.rules import exactly_one_of
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from shared.accounts.models import User


class SponsorQuerySet(models.QuerySet["Sponsor"]):
    """Sponsors, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the sponsors of the user's program."""
        return self.filter(program_id=user.program_id)

    def of_contact(self, user: User) -> Self:
        """Return the sponsors for whom the user signs in."""
        return self.for_user(user).filter(contacts__user=user)

    def active(self) -> Self:
        """Return the sponsors who have not ended."""
        return self.filter(ended_on__isnull=True)


class Sponsor(ProgramOwned):
    """A firm, club or person that gives parts or money."""

    name = models.CharField(max_length=120)
    town = models.CharField(max_length=80, blank=True)
    contact_name = models.CharField(max_length=120, blank=True)
    address = models.ForeignKey(Address, models.PROTECT, related_name="+")
    link = models.OneToOneField(AccessLink, models.PROTECT, null=True, blank=True, related_name="+")
    stop_link = models.OneToOneField(
        AccessLink, models.PROTECT, null=True, blank=True, related_name="+"
    )
    ask_every_days = models.PositiveSmallIntegerField(null=True, blank=True)
    last_asked_on = models.DateField(null=True, blank=True)
    since_on = models.DateField()
    ended_on = models.DateField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    objects = SponsorQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "name"],
                name="sponsor_name_once",
                violation_error_message="There is a sponsor of this name already.",
            ),
            models.CheckConstraint(
                name="sponsor_dates_in_order",
                condition=Q(ended_on__isnull=True) | Q(ended_on__gte=models.F("since_on")),
                violation_error_message="A sponsor can't end before the day they began.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Gives(ProgramOwned):
    """One kind of thing a sponsor gives: a system of the car, or one kind of part in it."""

    sponsor = models.ForeignKey(Sponsor, models.PROTECT, related_name="gives")
    system = models.CharField(max_length=20, choices=choices_of(System))
    part_kind = models.CharField(max_length=40, blank=True)

    class Meta:
        verbose_name_plural = "gives"
        constraints = [
            exactly_one_of("gives_system_known", "system", System),
            models.UniqueConstraint(
                fields=["program", "sponsor", "system", "part_kind"],
                name="gives_once",
                violation_error_message="This is on the sponsor's list already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.sponsor}: {self.part_kind or self.system}"


class Contact(ProgramOwned):
    """A user who signs in for a sponsor."""

    sponsor = models.ForeignKey(Sponsor, models.PROTECT, related_name="contacts")
    user = models.OneToOneField(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return f"{self.user} for {self.sponsor}"
