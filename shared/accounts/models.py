"""The program (the charity that runs this installation), its users and their dated roles."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar
from zoneinfo import ZoneInfo

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from django.utils.functional import cached_property

from shared.accounts.roles import RoleKind
from shared.choices import choices_of
from shared.rules import exactly_one_of

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable


class Program(models.Model):
    """The charity. One an installation for now; every table carries its key all the same."""

    name = models.CharField(max_length=120)
    town = models.CharField(max_length=80)
    region = models.CharField("state", max_length=2, help_text="Two letters, such as OH.")
    postal_address = models.CharField(max_length=200)
    phone = models.CharField(max_length=30)
    email = models.EmailField()
    time_zone = models.CharField(max_length=50, default="America/Chicago")
    is_demo = models.BooleanField(default=False)
    made_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> ZoneInfo:
        """The time zone that the program's pages and weeks go by."""
        return ZoneInfo(self.time_zone)

    def today(self) -> dt.date:
        """Return the day it is where the program is."""
        return timezone.now().astimezone(self.zone).date()


class ProgramOwned(models.Model):
    """A row of one program; every table but shipped data is one."""

    program = models.ForeignKey("shared.Program", on_delete=models.PROTECT, related_name="+")

    class Meta:
        abstract = True


class User(AbstractUser):
    """A person who signs in. What they may open comes from their roles, never from flags."""

    program = models.ForeignKey(Program, models.PROTECT, null=True, blank=True, related_name="+")
    language = models.CharField(
        max_length=5, default="en", choices=[("en", "English"), ("es", "Español")]
    )

    REQUIRED_FIELDS: ClassVar[list[str]] = []

    class Meta:
        verbose_name = "user"

    def __str__(self) -> str:
        return self.get_full_name() or self.username

    def role_kinds(self, on: dt.date | None = None) -> frozenset[RoleKind]:
        """Return the roles held on a day (today where the program is, unless given)."""
        if self.program is None:
            return frozenset()
        day = on or self.program.today()
        return frozenset(RoleKind(role.kind) for role in self._held if role.holds_on(day))

    @cached_property
    def _held(self) -> list[Role]:
        """The roles as read once: a page asks several times what its reader may."""
        return list(self.roles.all())

    def is_any_of(self, kinds: Iterable[RoleKind]) -> bool:
        """Return whether the user holds one of these roles today."""
        return not self.role_kinds().isdisjoint(kinds)


class Role(ProgramOwned):
    """One role of one user, from a day until a day. Ended, never deleted."""

    user = models.ForeignKey(User, models.PROTECT, related_name="roles")
    kind = models.CharField(max_length=20, choices=choices_of(RoleKind))
    since_on = models.DateField()
    until_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["user", "kind", "since_on"]
        constraints = [
            exactly_one_of("role_kind_known", "kind", RoleKind),
            models.CheckConstraint(
                name="role_dates_in_order",
                condition=Q(until_on__isnull=True) | Q(until_on__gte=F("since_on")),
                violation_error_message="A role can't end before it begins.",
            ),
            models.UniqueConstraint(
                fields=["program", "user", "kind"],
                name="role_held_once",
                condition=Q(until_on__isnull=True),
                violation_error_message="This person holds the role already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.user}, {RoleKind(self.kind).label.lower()}"

    def holds_on(self, day: dt.date) -> bool:
        """Return whether the role is held on that day."""
        return self.since_on <= day and (self.until_on is None or day <= self.until_on)
