"""What was authorized for a car, and what was asked for beyond it."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from program.cases.models import Case
from program.decisions.states import SupplementState
from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import exactly_one_of
from vehicles.custody.kinds import SignedHow
from vehicles.custody.models import Owner
from vehicles.intake.models import Intake, Photo
from vehicles.repairs.models import Estimate, RepairItem


class Authorization(ProgramOwned):
    """A frozen estimate to which the owner and the program's budget said yes; one stands a stay."""

    case = models.ForeignKey(Case, models.PROTECT, related_name="authorizations")
    intake = models.ForeignKey(Intake, models.PROTECT, related_name="authorizations")
    estimate = models.ForeignKey(Estimate, models.PROTECT, related_name="authorizations")
    cents = models.BigIntegerField("authorized, at the 80 percent point")
    minutes = models.PositiveIntegerField(default=0)
    owner = models.ForeignKey(Owner, models.PROTECT, null=True, blank=True, related_name="+")
    owner_how = models.CharField(max_length=10, choices=choices_of(SignedHow))
    owner_on = models.DateField()
    interpreter = models.CharField(max_length=120, blank=True)
    witness = models.CharField(max_length=120, blank=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", verbose_name="for the budget"
    )
    at = models.DateTimeField(default=timezone.now)
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_because = models.CharField(max_length=200, blank=True)
    client_key = models.UUIDField(null=True, blank=True)

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            exactly_one_of("authorization_way_known", "owner_how", SignedHow),
            models.CheckConstraint(
                name="authorization_not_negative",
                condition=Q(cents__gte=0),
                violation_error_message="An authorized amount can't be negative.",
            ),
            models.CheckConstraint(
                name="authorization_phone_has_witness",
                condition=~Q(owner_how=SignedHow.PHONE) | ~Q(witness=""),
                violation_error_message="A consent on the phone needs its witness.",
            ),
            models.UniqueConstraint(
                fields=["program", "intake"],
                name="authorization_one_stands",
                condition=Q(ended_at__isnull=True),
                violation_error_message="This stay has an authorization already.",
            ),
            models.UniqueConstraint(
                fields=["program", "client_key"],
                name="authorization_written_once",
                violation_error_message="This authorization is on record already.",
            ),
        ]

    def __str__(self) -> str:
        return f"authorization of {self.case}"


class Supplement(ProgramOwned):
    """More work or money than authorized: a photo, a reason, and both who have to say yes."""

    authorization = models.ForeignKey(Authorization, models.PROTECT, related_name="supplements")
    number = models.PositiveSmallIntegerField()
    items = models.ManyToManyField(RepairItem, related_name="supplements", blank=True)
    reason = models.CharField(max_length=300)
    photo = models.ForeignKey(Photo, models.PROTECT, related_name="+")
    cents = models.BigIntegerField("more than authorized, at the 80 percent point")
    minutes = models.PositiveIntegerField("more minutes", default=0)
    to_go_cents = models.BigIntegerField("cost to go of the whole car", default=0)
    spent_cents = models.BigIntegerField("spent so far; it doesn't count", default=0)
    state = models.CharField(
        max_length=10, choices=choices_of(SupplementState), default=SupplementState.ASKED
    )
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(default=timezone.now)
    owner = models.ForeignKey(Owner, models.PROTECT, null=True, blank=True, related_name="+")
    owner_how = models.CharField(max_length=10, choices=choices_of(SignedHow), blank=True)
    owner_at = models.DateTimeField(null=True, blank=True)
    owner_noted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    interpreter = models.CharField(max_length=120, blank=True)
    witness = models.CharField(max_length=120, blank=True)
    budget_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    budget_at = models.DateTimeField(null=True, blank=True)
    closed_because = models.CharField(max_length=200, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    client_key = models.UUIDField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["-number"]
        constraints = [
            exactly_one_of("supplement_state_known", "state", SupplementState),
            models.CheckConstraint(
                name="supplement_not_negative",
                condition=Q(cents__gte=0) & Q(to_go_cents__gte=0) & Q(spent_cents__gte=0),
                violation_error_message="An amount can't be negative.",
            ),
            models.CheckConstraint(
                name="supplement_agreed_by_both",
                condition=~Q(state=SupplementState.AGREED)
                | Q(owner_at__isnull=False, budget_at__isnull=False, budget_by__isnull=False),
                violation_error_message="A supplement needs the owner's yes and the budget's.",
            ),
            models.CheckConstraint(
                name="supplement_budget_by_another",
                condition=Q(budget_by__isnull=True) | ~Q(budget_by=models.F("asked_by")),
                violation_error_message="Who asks for money doesn't grant it.",
            ),
            models.CheckConstraint(
                name="supplement_phone_has_witness",
                condition=~Q(owner_how=SignedHow.PHONE) | ~Q(witness=""),
                violation_error_message="A consent on the phone needs its witness.",
            ),
            models.UniqueConstraint(
                fields=["program", "authorization", "number"],
                name="supplement_number_once",
                violation_error_message="There is a supplement of this number already.",
            ),
            models.UniqueConstraint(
                fields=["program", "client_key"],
                name="supplement_written_once",
                violation_error_message="This supplement is on record already.",
            ),
        ]

    def __str__(self) -> str:
        return f"supplement {self.number}"
