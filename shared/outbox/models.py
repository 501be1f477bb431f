"""Mail that is never lost or sent twice, and the addresses whose rules it obeys."""

from __future__ import annotations

from typing import Self

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import models
from django.db.models import Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.outbox.contact import Channel, MaySay, MessageKind, MessageState, Rule
from shared.rules import exactly_one_of


class Address(ProgramOwned):
    """How somebody may be reached. Holds no name; households and sponsors point to it."""

    channel = models.CharField(max_length=10, choices=choices_of(Channel), default=Channel.EMAIL)
    email = models.CharField(max_length=254, blank=True, validators=[validate_email])
    phone = models.CharField(max_length=30, blank=True)
    language = models.CharField(
        max_length=5, default="en", choices=[("en", "English"), ("es", "Español")]
    )
    says = models.CharField(
        "may be told", max_length=10, choices=choices_of(MaySay), default=MaySay.NOTHING
    )
    hours = models.CharField(
        "hours", max_length=60, blank=True, help_text="When to call, such as 9:00-17:00."
    )
    speaks_for = models.CharField(max_length=120, blank=True, help_text="Who may speak for them.")
    barred = models.BooleanField(default=False, help_text="Contact could put a person in danger.")
    opted_out_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        verbose_name_plural = "addresses"
        constraints = [
            exactly_one_of("address_channel_known", "channel", Channel),
            exactly_one_of("address_says_known", "says", MaySay),
        ]

    def __str__(self) -> str:
        return f"address {self.pk}"

    def clean(self) -> None:
        """Refuse an address whose channel has nothing to reach."""
        if self.channel == Channel.EMAIL and not self.email and not self.barred:
            raise ValidationError({"email": "Contact by mail needs a mail address."})

    @property
    def rule(self) -> Rule:
        """What this address allows, as plain values."""
        return Rule(
            channel=Channel(self.channel),
            says=MaySay(self.says),
            barred=self.barred,
            opted_out=self.opted_out_at is not None,
            has_value=bool(self.email),
        )


class MessageQuerySet(models.QuerySet["Message"]):
    """Messages by what the sender does with them."""

    def waiting(self) -> Self:
        """Return the messages that have not been tried, oldest first."""
        return self.filter(state=MessageState.WAITING).order_by("pk")

    def to_read(self) -> Self:
        """Return the messages that wait until a person has read them through, oldest first."""
        return self.filter(state=MessageState.TO_READ).order_by("pk")

    def held(self) -> Self:
        """Return the messages that their address forbids, or that a person held back."""
        return self.filter(state=MessageState.HELD)

    def undecided(self) -> Self:
        """Return the messages of which nobody knows whether they went: a person has to say."""
        return self.filter(state=MessageState.UNKNOWN)


class Message(ProgramOwned):
    """One mail to one address. The key names the effect, so that it can't be written twice."""

    key = models.CharField(max_length=120)
    address = models.ForeignKey(Address, models.PROTECT, related_name="messages")
    kind = models.CharField(max_length=10, choices=choices_of(MessageKind))
    tells = models.CharField(max_length=10, choices=choices_of(MaySay))
    subject = models.CharField(max_length=200)
    text = models.TextField()
    html = models.TextField(blank=True)
    headers = models.JSONField(default=dict, blank=True)
    state = models.CharField(
        max_length=10, choices=choices_of(MessageState), default=MessageState.WAITING
    )
    held_because = models.CharField(max_length=300, blank=True)
    made_at = models.DateTimeField(default=timezone.now)
    sent_at = models.DateTimeField(null=True, blank=True)

    objects = MessageQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            exactly_one_of("message_state_known", "state", MessageState),
            exactly_one_of("message_kind_known", "kind", MessageKind),
            exactly_one_of("message_tells_known", "tells", MaySay),
            models.UniqueConstraint(
                fields=["program", "key"],
                name="message_written_once",
                violation_error_message="This message was written already.",
            ),
            models.CheckConstraint(
                name="message_sent_has_moment",
                condition=~Q(state=MessageState.SENT) | Q(sent_at__isnull=False),
                violation_error_message="A sent message has the moment it was sent.",
            ),
        ]

    def __str__(self) -> str:
        return self.subject

    @property
    def message_id(self) -> str:
        """The fixed Message-ID, so that a mail sent again can be recognized."""
        return f"<{self.key.replace(':', '.')}.{self.program_id}@handback.invalid>"
