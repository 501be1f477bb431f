"""A diagnosis of one complaint: its model as it stood, what was seen, and what was concluded."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import exactly_one_of
from vehicles.diagnosis.kinds import Ended, Origin, Source, Sureness, Verified
from vehicles.inspection.models import Finding
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from shared.accounts.models import User


class KeptModelQuerySet(models.QuerySet["KeptModel"]):
    """Texts of fault models, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the texts that the user's program holds."""
        return self.filter(program_id=user.program_id)

    def in_use(self) -> Self:
        """Return the program's own texts that stand in place of the shipped ones."""
        return self.filter(in_use=True)


class KeptModel(ProgramOwned):
    """The text of a fault model as it stood. Never changed: a new text is a new row.

    A shipped text becomes a row when a diagnosis begins with it, so that the diagnosis can be
    read later as it was.
    """

    complaint = models.CharField(max_length=40)
    number = models.PositiveIntegerField()
    version = models.CharField(max_length=20)
    title = models.CharField(max_length=120)
    text = models.TextField()
    sha256 = models.CharField(max_length=64)
    origin = models.CharField(max_length=10, choices=choices_of(Origin))
    in_use = models.BooleanField(default=False)
    because = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    objects = KeptModelQuerySet.as_manager()

    class Meta:
        verbose_name = "fault model"
        ordering = ["complaint", "-number"]
        constraints = [
            exactly_one_of("kept_model_origin_known", "origin", Origin),
            models.UniqueConstraint(
                fields=["program", "complaint", "number"],
                name="kept_model_number_once",
                violation_error_message="Somebody else changed this fault model meanwhile.",
            ),
            models.UniqueConstraint(
                fields=["program", "complaint"],
                name="kept_model_one_in_use",
                condition=Q(in_use=True),
                violation_error_message="One text of a fault model is in use at a time.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.title}, {self.version}"


class DiagnosisQuerySet(models.QuerySet["Diagnosis"]):
    """Diagnoses, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the diagnoses of vehicles that the user may see."""
        return self.filter(program_id=user.program_id).exclude(intake__vehicle__withheld_from=user)

    def open(self) -> Self:
        """Return the diagnoses that nobody has ended."""
        return self.filter(ended_at__isnull=True)


class Diagnosis(ProgramOwned):
    """The search for what causes one complaint of one stay.

    `experience` holds the weights learned from this program's own cars as they were when it
    began, by fault; empty where the shipped weights count alone.
    """

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="diagnoses")
    complaint = models.CharField(max_length=40)
    model = models.ForeignKey(KeptModel, models.PROTECT, related_name="diagnoses")
    experience = models.JSONField(default=dict, blank=True)
    experience_cars = models.PositiveIntegerField("cars behind the weights", default=0)
    verified = models.CharField(
        max_length=10, choices=choices_of(Verified), default=Verified.NOT_YET
    )
    verified_note = models.CharField(max_length=300, blank=True)
    begun_at = models.DateTimeField(default=timezone.now)
    begun_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    ended_how = models.CharField(max_length=10, choices=choices_of(Ended), blank=True)
    ended_because = models.CharField(max_length=300, blank=True)
    client_key = models.UUIDField(null=True, blank=True, unique=True)
    version = models.PositiveIntegerField(default=1)

    objects = DiagnosisQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "diagnoses"
        ordering = ["-begun_at", "-pk"]
        constraints = [
            exactly_one_of("diagnosis_verified_known", "verified", Verified),
            models.UniqueConstraint(
                fields=["program", "intake", "complaint"],
                name="diagnosis_one_open",
                condition=Q(ended_at__isnull=True),
                violation_error_message="This complaint is being diagnosed already.",
            ),
            models.CheckConstraint(
                name="diagnosis_end_says_how",
                condition=Q(ended_at__isnull=True, ended_how="")
                | (Q(ended_at__isnull=False) & ~Q(ended_how="")),
                violation_error_message="A diagnosis ends in one of the known ways.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.model.title}, {self.intake}"


class StandingQuerySet(models.QuerySet["Observation"]):
    """Observations that nobody took back."""

    def standing(self) -> Self:
        """Return the observations that count."""
        return self.filter(withdrawn_at__isnull=True)


class Observation(ProgramOwned):
    """What one check showed, or why it could not be done. A correction is a new row."""

    diagnosis = models.ForeignKey(Diagnosis, models.PROTECT, related_name="observations")
    check_code = models.CharField("check", max_length=40)
    outcome = models.CharField(max_length=40, blank=True)
    could_not = models.CharField("could not be done because", max_length=200, blank=True)
    note = models.CharField(max_length=500, blank=True)
    source = models.CharField(max_length=10, choices=choices_of(Source), default=Source.SEEN)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    seen_by = models.CharField(max_length=120, help_text="Name and credential as of that day.")
    at = models.DateTimeField(default=timezone.now)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    client_key = models.UUIDField(null=True, blank=True, unique=True)

    objects = StandingQuerySet.as_manager()

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            exactly_one_of("observation_source_known", "source", Source),
            models.UniqueConstraint(
                fields=["program", "diagnosis", "check_code"],
                name="observation_one_stands",
                condition=Q(withdrawn_at__isnull=True),
                violation_error_message="Somebody else recorded this check meanwhile.",
            ),
            models.CheckConstraint(
                name="observation_seen_or_not",
                condition=(Q(outcome="") & ~Q(could_not="")) | (~Q(outcome="") & Q(could_not="")),
                violation_error_message="A check shows something, or says why it was not done.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.check_code}: {self.outcome or self.could_not}"


class SetupMade(ProgramOwned):
    """What has been made true for checks: warm, raised. Its minutes are paid once."""

    diagnosis = models.ForeignKey(Diagnosis, models.PROTECT, related_name="setups")
    code = models.CharField(max_length=20)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "setups made"
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "diagnosis", "code"],
                name="setup_made_once",
                condition=Q(ended_at__isnull=True),
                violation_error_message="This is set up already.",
            ),
        ]

    def __str__(self) -> str:
        return self.code


class Conclusion(ProgramOwned):
    """A fault that a person signed for, with the finding it became and what brought it about."""

    diagnosis = models.ForeignKey(Diagnosis, models.PROTECT, related_name="conclusions")
    fault = models.CharField(max_length=40)
    title = models.CharField(max_length=120)
    operation = models.CharField(max_length=60, blank=True)
    sureness = models.CharField(max_length=10, choices=choices_of(Sureness))
    permille = models.PositiveSmallIntegerField("probability then, in a thousand")
    evidence = models.CharField(max_length=500, blank=True)
    because = models.CharField(max_length=300, blank=True)
    root = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="brought_about"
    )
    finding = models.OneToOneField(Finding, models.PROTECT, related_name="conclusion")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_because = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            exactly_one_of("conclusion_sureness_known", "sureness", Sureness),
            models.UniqueConstraint(
                fields=["program", "diagnosis", "fault"],
                name="conclusion_once",
                condition=Q(withdrawn_at__isnull=True),
                violation_error_message="This fault is concluded already.",
            ),
            models.CheckConstraint(
                name="conclusion_permille_possible",
                condition=Q(permille__lte=1000),
                violation_error_message="A probability is 1000 in a thousand at most.",
            ),
            models.CheckConstraint(
                name="conclusion_overruled_with_reason",
                condition=~Q(sureness=Sureness.OVERRULED) | ~Q(because=""),
                violation_error_message="Say why you conclude otherwise.",
            ),
            models.CheckConstraint(
                name="conclusion_never_its_own_root",
                condition=Q(root__isnull=True) | ~Q(root=F("id")),
                violation_error_message="A fault can’t bring itself about.",
            ),
        ]

    def __str__(self) -> str:
        return self.title


class Held(ProgramOwned):
    """Whether the repair held: the complaint gone, and not back at 30 days.

    `causes` are the faults that the repair proved, by code; they teach the weights. The tool's own
    conclusion never does.
    """

    diagnosis = models.ForeignKey(Diagnosis, models.PROTECT, related_name="held")
    repaired_on = models.DateField()
    asked_on = models.DateField()
    gone = models.BooleanField("the complaint is gone")
    causes = models.JSONField(default=list, blank=True)
    note = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_because = models.CharField(max_length=200, blank=True)

    class Meta:
        verbose_name_plural = "repairs that held"
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "diagnosis"],
                name="held_said_once",
                condition=Q(withdrawn_at__isnull=True),
                violation_error_message="Whether this repair held is on record already.",
            ),
            models.CheckConstraint(
                name="held_asked_after_repair",
                condition=Q(asked_on__gte=F("repaired_on")),
                violation_error_message="Whether a repair held is asked after it was made.",
            ),
        ]

    def __str__(self) -> str:
        return "held" if self.gone else "did not hold"
