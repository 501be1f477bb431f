"""Whose the car is, who said yes to what, and where the car stands."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import exactly_one_of
from vehicles.custody import kinds
from vehicles.custody.acts import Act, OwnerKind
from vehicles.custody.conditions import Mobility, Step
from vehicles.intake.models import Intake, Vehicle


class Owner(ProgramOwned):
    """Somebody whom a paper names as owner or lienholder; not the household as such."""

    vehicle = models.ForeignKey(Vehicle, models.PROTECT, related_name="owners")
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=15, choices=choices_of(OwnerKind))
    paper_seen_on = models.DateField()
    ended_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            exactly_one_of("owner_kind_known", "kind", OwnerKind),
            models.UniqueConstraint(
                fields=["program", "vehicle", "name", "kind"],
                name="owner_named_once",
                condition=Q(ended_on__isnull=True),
                violation_error_message="This owner is on record already.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Consent(ProgramOwned):
    """One owner's signed yes to one act on one stay."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="consents")
    owner = models.ForeignKey(Owner, models.PROTECT, related_name="consents")
    act = models.CharField(max_length=10, choices=choices_of(Act))
    given_on = models.DateField()
    until_on = models.DateField(null=True, blank=True)
    withdrawn_on = models.DateField(null=True, blank=True)
    how = models.CharField(
        max_length=10, choices=choices_of(kinds.SignedHow), default=kinds.SignedHow.IMPORTED
    )
    language = models.CharField(max_length=5, default="en")
    witness = models.CharField(max_length=120, blank=True)
    interpreter = models.CharField(max_length=120, blank=True)
    strokes = models.JSONField("drawn name, on a pad 600 x 200", default=list, blank=True)
    content_hash = models.CharField(
        max_length=64, blank=True, help_text="SHA-256 of the text that was read, in hex."
    )
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    client_key = models.UUIDField(null=True, blank=True)

    class Meta:
        ordering = ["given_on", "pk"]
        constraints = [
            exactly_one_of("consent_act_known", "act", Act),
            models.UniqueConstraint(
                fields=["program", "intake", "owner", "act"],
                name="consent_once",
                condition=Q(withdrawn_on__isnull=True),
                violation_error_message="This consent is on record already.",
            ),
            models.CheckConstraint(
                name="consent_dates_in_order",
                condition=Q(until_on__isnull=True) | Q(until_on__gte=F("given_on")),
                violation_error_message="A consent can't end before it is given.",
            ),
            exactly_one_of("consent_way_known", "how", kinds.SignedHow),
            models.CheckConstraint(
                name="consent_phone_has_witness",
                condition=~Q(how=kinds.SignedHow.PHONE) | ~Q(witness=""),
                violation_error_message="A consent on the phone needs its witness.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.owner}: {self.act}"


class Condition(ProgramOwned):
    """The car's condition in three fields; the moves allowed stand in `conditions`."""

    vehicle = models.OneToOneField(Vehicle, models.PROTECT, related_name="condition")
    step = models.CharField(max_length=20, choices=choices_of(Step), default=Step.EXPECTED)
    mobility = models.CharField(
        max_length=10, choices=choices_of(Mobility), default=Mobility.DRIVES
    )
    place = models.CharField(max_length=40, blank=True, help_text="A bay, a space or an address.")
    since_at = models.DateTimeField(default=timezone.now)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            exactly_one_of("condition_step_known", "step", Step),
            exactly_one_of("condition_mobility_known", "mobility", Mobility),
        ]

    def __str__(self) -> str:
        return f"{self.vehicle}: {self.step}"


class Standing(ProgramOwned):
    """What was asked at intake about whose the car is, and what stands against it."""

    intake = models.OneToOneField(Intake, models.PROTECT, related_name="standing")
    paper = models.CharField(max_length=15, choices=choices_of(kinds.Paper))
    joined = models.CharField(
        max_length=10, choices=choices_of(kinds.Joined), default=kinds.Joined.UNKNOWN
    )
    lien = models.CharField(max_length=15, choices=choices_of(kinds.Lien))
    hold = models.CharField(max_length=15, choices=choices_of(kinds.Hold))
    stolen = models.CharField(max_length=10, choices=choices_of(kinds.Stolen))
    papers_agree = models.BooleanField("plate, door label and paper agree", null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)
    asked_on = models.DateField()
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    cleared_on = models.DateField(null=True, blank=True)
    cleared_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    cleared_because = models.CharField(max_length=200, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="standing_cleared_with_reason",
                condition=Q(cleared_on__isnull=True)
                | (Q(cleared_by__isnull=False) & ~Q(cleared_because="")),
                violation_error_message="A person decides on this, with a reason.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.intake}: what stands against it"


class KeyTag(ProgramOwned):
    """The keys of one stay under one tag; who has them now."""

    intake = models.OneToOneField(Intake, models.PROTECT, related_name="key_tag")
    tag = models.CharField(max_length=10)
    keys = models.PositiveSmallIntegerField(default=1)
    wheel_lock_key = models.BooleanField(null=True, blank=True)
    radio_code = models.BooleanField("radio asks for a code", null=True, blank=True)
    holder = models.CharField("where the keys are", max_length=120)
    returned_on = models.DateField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["tag"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "tag"],
                name="key_tag_on_one_car",
                condition=Q(returned_on__isnull=True),
                violation_error_message="This tag hangs on another car’s keys.",
            ),
            models.CheckConstraint(
                name="key_tag_keys_possible",
                condition=Q(keys__lte=20),
                violation_error_message="A car has at most 20 keys.",
            ),
        ]

    def __str__(self) -> str:
        return f"tag {self.tag}"


class KeyMove(ProgramOwned):
    """One time the keys changed hands."""

    key_tag = models.ForeignKey(KeyTag, models.PROTECT, related_name="moves")
    holder = models.CharField(max_length=120)
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.key_tag}: {self.holder}"


class Content(ProgramOwned):
    """One thing that lay in the car."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="contents")
    client_key = models.UUIDField(unique=True)
    kind = models.CharField(max_length=15, choices=choices_of(kinds.ContentKind))
    what = models.CharField(max_length=120)
    where = models.CharField(max_length=60, blank=True)
    listed_on = models.DateField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    returned_on = models.DateField(null=True, blank=True)
    returned_to = models.CharField(max_length=120, blank=True)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    decided_because = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            exactly_one_of("content_kind_known", "kind", kinds.ContentKind),
            models.CheckConstraint(
                name="content_returned_to_somebody",
                condition=Q(returned_on__isnull=True) | ~Q(returned_to=""),
                violation_error_message="Say who took it back.",
            ),
        ]

    def __str__(self) -> str:
        return self.what


class Tow(ProgramOwned):
    """A tow that brings the car or takes it away."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="tows")
    direction = models.CharField(max_length=3, choices=choices_of(kinds.TowDirection))
    kind = models.CharField(max_length=12, choices=choices_of(kinds.TowKind))
    hauler = models.CharField("who tows", max_length=120)
    from_place = models.CharField("from", max_length=120)
    to_place = models.CharField("to", max_length=120)
    on = models.DateField()
    payer = models.CharField(max_length=10, choices=choices_of(kinds.TowPayer))
    cost_cents = models.BigIntegerField("cost", null=True, blank=True)
    gate_code = models.CharField(max_length=40, blank=True)
    key_drop = models.CharField(max_length=120, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    client_key = models.UUIDField(unique=True)

    class Meta:
        ordering = ["on", "pk"]
        constraints = [
            models.CheckConstraint(
                name="tow_cost_not_negative",
                condition=Q(cost_cents__isnull=True) | Q(cost_cents__gte=0),
                violation_error_message="A tow can't cost less than nothing.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.direction}, {self.on}"


class Departure(ProgramOwned):
    """How a car left that was not repaired: what was said, how it was taken, who has the keys."""

    intake = models.OneToOneField(Intake, models.PROTECT, related_name="departure")
    on = models.DateField()
    because = models.CharField(max_length=300)
    language = models.CharField(max_length=5, default="en")
    dangers = models.JSONField("what is dangerous", default=list, blank=True)
    notice = models.CharField(max_length=10, choices=choices_of(kinds.NoticeHow))
    taken_by = models.CharField("who took the notice", max_length=120)
    witness = models.CharField(max_length=120, blank=True)
    strokes = models.JSONField(default=list, blank=True)
    content_hash = models.CharField(max_length=64)
    tow_answer = models.CharField(max_length=10, choices=choices_of(kinds.TowAnswer))
    tow = models.OneToOneField(Tow, models.PROTECT, null=True, blank=True, related_name="departure")
    keys_to = models.CharField(max_length=120)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    client_key = models.UUIDField(unique=True)

    class Meta:
        constraints = [
            exactly_one_of("departure_notice_known", "notice", kinds.NoticeHow),
            models.CheckConstraint(
                name="departure_declined_before_witness",
                condition=~Q(notice=kinds.NoticeHow.DECLINED) | ~Q(witness=""),
                violation_error_message="Who declined to sign did so before a witness.",
            ),
            models.CheckConstraint(
                name="departure_tow_where_taken",
                condition=~Q(tow_answer=kinds.TowAnswer.TAKEN) | Q(tow__isnull=False),
                violation_error_message="A tow that was taken has its order.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.intake}: returned unrepaired"
