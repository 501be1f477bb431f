"""People who work in the shop: what they may do, and the hours they can give."""

from __future__ import annotations

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.people.kinds import PaperKind, PersonKind
from shared.rules import exactly_one_of


class Person(ProgramOwned):
    """Somebody who repairs. Pace and attendance turn hours signed up for into book time."""

    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=10, choices=choices_of(PersonKind))
    user = models.OneToOneField(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="person"
    )
    pace_percent = models.PositiveSmallIntegerField(
        default=100, validators=[MinValueValidator(10), MaxValueValidator(150)]
    )
    attendance_percent = models.PositiveSmallIntegerField(
        default=100, validators=[MinValueValidator(10), MaxValueValidator(100)]
    )
    credential = models.CharField(max_length=120, blank=True)
    born_on = models.DateField(null=True, blank=True)
    left_on = models.DateField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        verbose_name_plural = "people"
        ordering = ["name", "pk"]
        constraints = [
            exactly_one_of("person_kind_known", "kind", PersonKind),
            models.CheckConstraint(
                name="person_percents_possible",
                condition=Q(pace_percent__range=(10, 150)) & Q(attendance_percent__range=(10, 100)),
                violation_error_message="Pace is 10 to 150 percent, attendance 10 to 100 percent.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Skill(ProgramOwned):
    """What one person may do, signed off by another, until a day."""

    person = models.ForeignKey(Person, models.PROTECT, related_name="skills")
    code = models.CharField(max_length=30, help_text="A system code, or such as `road_test`.")
    since_on = models.DateField()
    until_on = models.DateField(null=True, blank=True)
    signed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["program", "person", "code", "since_on"],
                name="skill_once_a_day",
                violation_error_message="This skill was signed off for that day already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.code}"


class Credential(ProgramOwned):
    """A paper of one person that somebody saw: license, certificate, insurer's list, waiver."""

    person = models.ForeignKey(Person, models.PROTECT, related_name="credentials")
    kind = models.CharField(max_length=20, choices=choices_of(PaperKind))
    number = models.CharField("as it stands on the paper", max_length=60, blank=True)
    since_on = models.DateField()
    until_on = models.DateField(null=True, blank=True)
    seen_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    ended_because = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["kind", "since_on", "pk"]
        constraints = [
            exactly_one_of("credential_kind_known", "kind", PaperKind),
            models.UniqueConstraint(
                fields=["program", "person", "kind", "since_on"],
                name="credential_once_a_day",
                violation_error_message="This paper is on file for that day already.",
            ),
            models.CheckConstraint(
                name="credential_dates_in_order",
                condition=Q(until_on__isnull=True) | Q(until_on__gte=models.F("since_on")),
                violation_error_message="A paper can't run out before it begins.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.kind}"


class WeekHours(ProgramOwned):
    """Minutes that one person has signed up for in one ISO week."""

    person = models.ForeignKey(Person, models.PROTECT, related_name="weeks")
    week_on = models.DateField("Monday of the week")
    minutes = models.PositiveIntegerField()
    shifts = models.JSONField(
        default=list,
        blank=True,
        help_text="When, as [weekday from 0, from minute of the day, minutes]; empty: any day.",
    )

    class Meta:
        verbose_name_plural = "week hours"
        ordering = ["week_on", "person"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "person", "week_on"],
                name="week_hours_once",
                violation_error_message="This person's hours for that week are there already.",
            ),
            models.CheckConstraint(
                name="week_hours_possible",
                condition=Q(minutes__lte=7 * 24 * 60),
                violation_error_message="A week has 168 hours.",
            ),
            models.CheckConstraint(
                name="week_hours_on_monday",
                condition=Q(week_on__iso_week_day=1),
                violation_error_message="A week is named by its Monday.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person}, week of {self.week_on}"

    @property
    def book_minutes(self) -> int:
        """The minutes of book time that can be counted on: signed up x attendance x pace."""
        percents = self.person.attendance_percent * self.person.pace_percent
        return self.minutes * percents // 10_000
