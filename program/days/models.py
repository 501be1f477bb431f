"""What is booked on which day, what went wrong with a day, and the calendar that shows it."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from program.cases.models import Case
from program.days.states import BookingKind, TroubleKind
from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.links.models import AccessLink
from shared.people.models import Person
from shared.rules import exactly_one_of
from vehicles.repairs.models import RepairItem
from vehicles.shop.models import Bay


class Booking(ProgramOwned):
    """One piece of work at one time: which car, in which bay, by whom. One stands; others ended."""

    cause = models.CharField(max_length=40, help_text="Such as `plan:5`.")
    case = models.ForeignKey(Case, models.PROTECT, related_name="bookings")
    item = models.ForeignKey(
        RepairItem, models.PROTECT, null=True, blank=True, related_name="bookings"
    )
    kind = models.CharField(max_length=8, choices=choices_of(BookingKind))
    title = models.CharField(max_length=120)
    bay = models.ForeignKey(Bay, models.PROTECT, null=True, blank=True, related_name="bookings")
    person = models.ForeignKey(
        Person, models.PROTECT, null=True, blank=True, related_name="bookings"
    )
    begins_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    made_at = models.DateTimeField(default=timezone.now)
    ended_at = models.DateTimeField("no longer stands", null=True, blank=True)
    ended_because = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["begins_at", "pk"]
        indexes = [models.Index(fields=["program", "begins_at"], name="booking_by_time")]
        constraints = [
            exactly_one_of("booking_kind_known", "kind", BookingKind),
            models.CheckConstraint(
                name="booking_times_in_order",
                condition=Q(ends_at__gt=models.F("begins_at")),
                violation_error_message="A booking ends after it begins.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.case}: {self.title}"


class Trouble(ProgramOwned):
    """What went wrong with a day or some: who is away, which bay is closed, which work ran over."""

    kind = models.CharField(max_length=12, choices=choices_of(TroubleKind))
    from_on = models.DateField()
    until_on = models.DateField()
    person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    bay = models.ForeignKey(Bay, models.PROTECT, null=True, blank=True, related_name="+")
    case = models.ForeignKey(Case, models.PROTECT, null=True, blank=True, related_name="troubles")
    item = models.ForeignKey(RepairItem, models.PROTECT, null=True, blank=True, related_name="+")
    minutes = models.PositiveIntegerField("more minutes", default=0)
    reason = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    made_at = models.DateTimeField(default=timezone.now)
    ended_at = models.DateTimeField("taken back", null=True, blank=True)
    client_key = models.UUIDField(null=True, blank=True)

    class Meta:
        ordering = ["from_on", "pk"]
        constraints = [
            exactly_one_of("trouble_kind_known", "kind", TroubleKind),
            models.CheckConstraint(
                name="trouble_days_in_order",
                condition=Q(until_on__gte=models.F("from_on")),
                violation_error_message="The last day is not before the first.",
            ),
            models.CheckConstraint(
                name="trouble_names_its_subject",
                condition=Q(kind=TroubleKind.PERSON_AWAY, person__isnull=False)
                | Q(kind=TroubleKind.BAY_CLOSED, bay__isnull=False)
                | Q(kind__in=[TroubleKind.PART_LATE, TroubleKind.RAN_OVER], case__isnull=False),
                violation_error_message="Say who is away, which bay is closed, or which car it is.",
            ),
            models.UniqueConstraint(
                fields=["program", "client_key"],
                name="trouble_told_once",
                violation_error_message="This was told already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind}, {self.from_on}"


class CalendarFeed(ProgramOwned):
    """A private link to the bookings as a calendar: of one person, or of the whole shop."""

    link = models.OneToOneField(AccessLink, models.PROTECT, related_name="calendar")
    person = models.ForeignKey(
        Person, models.PROTECT, null=True, blank=True, related_name="calendars"
    )
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return f"calendar of {self.person or 'the shop'}"
