"""A supplement as an owner reads it in their language, how it was answered, and its paper."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from django.utils import translation

from program.decisions.states import SupplementState
from program.decisions.wording import NO, YES, More, words_of
from shared.policy.queries import policies
from vehicles.custody.wording import digest
from vehicles.inspection.wording import spanish
from vehicles.operations.wording import title_in

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from program.decisions.models import Supplement
    from vehicles.custody.kinds import SignedHow
    from vehicles.custody.models import Owner
    from vehicles.custody.values import Stroke


@dataclass(frozen=True, kw_only=True)
class Words:
    """What is read to an owner, in one language, and the digest of all of it."""

    language: str
    title: str
    opening: str
    lines: tuple[str, ...]
    promise: str
    yes: str
    no: str

    @property
    def digest(self) -> str:
        """What shows whether these are the words that somebody read."""
        return digest([self.language, self.title, self.opening, *self.lines, self.promise])


def more_of(supplement: Supplement) -> More:
    """Return what a supplement asks for on top of all that was agreed before it; three queries."""
    granted = supplement.authorization
    agreed = granted.supplements.filter(
        state=SupplementState.AGREED, number__lt=supplement.number
    ).values_list("cents", flat=True)
    program = supplement.program
    return More(
        car=str(granted.intake.vehicle),
        garage=program.name,
        reason=supplement.reason,
        work=tuple(supplement.items.order_by("pk").values_list("title", flat=True)),
        cents=supplement.cents,
        authorized_cents=granted.cents + sum(agreed),
        percent=policies(program, program.today())["stop_over_percent"],
    )


def in_language(more: More, language: str) -> Words:
    """Return the words of a supplement in one language of the program.

    Titles of the catalogue are told in it; what a technician typed stays as it was typed.
    """
    known = spanish() if language == "es" else {}
    asked = words_of(replace(more, work=tuple(title_in(title, known) for title in more.work)))
    with translation.override(language):
        return Words(
            language=language,
            title=asked.title.render(translation.gettext),
            opening=asked.opening.render(translation.gettext),
            lines=tuple(line.render(translation.gettext) for line in asked.lines),
            promise=asked.promise.render(translation.gettext),
            yes=YES.render(translation.gettext),
            no=NO.render(translation.gettext),
        )


@dataclass(frozen=True, kw_only=True)
class OwnerAnswer:
    """What the owners said: yes with its signature, or no with its reason.

    `signed` are those who said it. `read` is the digest of the words in `language`; `version` that
    of the supplement on screen.
    """

    yes: bool
    version: int
    signed: Sequence[Owner] = ()
    how: SignedHow | None = None
    language: str = "en"
    read: str = ""
    strokes: Sequence[Stroke] = ()
    witness: str = ""
    interpreter: str = ""
    because: str = ""


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """The paper of a supplement; without an answer its lines are left to be filled."""

    number: str
    garage: str
    where: str
    day: dt.date
    car: str
    vin: str
    plate: str
    asked_by: str
    photo: int
    signers: tuple[str, ...]
    words: Words
    answer: OwnerAnswer | None = None
    answered_on: dt.date | None = None


def sheet_of(
    supplement: Supplement,
    words: Words,
    signers: Sequence[Owner],
    answer: OwnerAnswer | None = None,
) -> Sheet:
    """Return the paper of a supplement; its number is given once."""
    granted, program = supplement.authorization, supplement.program
    vehicle = granted.intake.vehicle
    return Sheet(
        number=number_of(supplement),
        garage=program.name,
        where=program.postal_address,
        day=program.today(),
        car=str(vehicle),
        vin=vehicle.vin,
        plate=f"{vehicle.plate} {vehicle.plate_state}".strip(),
        asked_by=str(supplement.asked_by),
        photo=supplement.photo_id,
        signers=tuple(one.name for one in signers),
        words=words,
        answer=answer,
        answered_on=program.today() if answer else None,
    )


def number_of(supplement: Supplement) -> str:
    """Return the number of a supplement's paper."""
    return f"{supplement.authorization.case.number}-S{supplement.pk}"
