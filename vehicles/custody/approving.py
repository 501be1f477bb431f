"""Recording an owner's yes, and taking it back."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING, Final

from django.core.exceptions import ValidationError
from django.db import transaction

from shared.audit.actions import log_event
from vehicles.custody.acts import Act
from vehicles.custody.kinds import SignedHow
from vehicles.custody.models import Consent
from vehicles.custody.queries import may_sign, open_stay, texts
from vehicles.custody.values import strokes_of
from vehicles.custody.wording import digest

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Mapping
    from uuid import UUID

    from shared.accounts.models import User
    from vehicles.custody.models import Owner
    from vehicles.custody.values import Stroke
    from vehicles.intake.models import Intake

#: Ways by which the owner reads or hears our own words.
OUR_WORDS: Final = (SignedHow.SCREEN, SignedHow.PHONE)


@transaction.atomic
def give_consents(  # noqa: PLR0913  # a signature has this many parts
    *,
    intake: Intake,
    owner: Owner,
    acts: Collection[Act],
    how: SignedHow,
    given_on: dt.date,
    until_on: dt.date | None = None,
    language: str = "en",
    read: str = "",
    strokes: str = "",
    witness: str = "",
    interpreter: str = "",
    client_key: UUID,
    by: User,
) -> list[Consent]:
    """Record that an owner said yes to some acts, one consent for each, and return them.

    `read` is the digest of the words that were shown, `strokes` the drawn name as JSON. The same
    `client_key` again returns what it made.

    Raises:
        ValidationError: the stay has ended, this person may not sign, the words have changed since
            they were read, the signature or the witness is missing, or the consent is on record.
    """
    stay = open_stay(intake)
    if there := list(stay.consents.filter(client_key=client_key)):
        return there
    day = stay.program.today() if how is SignedHow.SCREEN else given_on
    _check(stay, owner, how, witness, day)
    hashes = _hashes(stay, how, language, read)
    signed = Consent(
        program_id=stay.program_id,
        intake=stay,
        owner=owner,
        given_on=day,
        how=how,
        language=language,
        witness=witness.strip(),
        interpreter=interpreter.strip(),
        strokes=_drawn(strokes) if how is SignedHow.SCREEN else [],
        recorded_by=by,
        client_key=client_key,
    )
    return [_written(_to_act(signed, act, until_on, hashes), by) for act in Act if act in acts]


def _to_act(
    signed: Consent, act: Act, until_on: dt.date | None, hashes: Mapping[Act, str]
) -> Consent:
    """Return a signature as the consent to one act, not saved yet; only storing ends on a day."""
    row = copy(signed)
    row.act, row.content_hash = act, hashes.get(act, "")
    row.until_on = until_on if act is Act.STORE else None
    return row


def _check(stay: Intake, owner: Owner, how: SignedHow, witness: str, day: dt.date) -> None:
    """Refuse somebody who may not sign, a day to come, and a call that nobody else heard."""
    if owner.pk not in {one.pk for one in may_sign(stay)}:
        raise ValidationError(
            {"owner": "Only somebody whom the title names may sign; without it, the registration."}
        )
    if day > stay.program.today():
        raise ValidationError({"given_on": "This day has not come yet."})
    if how is SignedHow.PHONE and not witness.strip():
        raise ValidationError({"witness": "A consent on the phone needs somebody who heard it."})


def _hashes(stay: Intake, how: SignedHow, language: str, read: str) -> dict[Act, str]:
    """Return the digest of each act's words, once they are those that were read."""
    if how not in OUR_WORDS:
        return {}
    found = texts(stay, language)
    if read != found.digest:
        raise ValidationError("The words have changed since they were shown. Read them again.")
    return {act: digest([found.opening, text]) for act, text in found.acts.items()}


def _drawn(strokes: str) -> list[Stroke]:
    """Return the drawn name, or refuse it."""
    try:
        return strokes_of(strokes)
    except ValueError as error:
        raise ValidationError({"strokes": str(error)}) from error


def _written(consent: Consent, by: User) -> Consent:
    """Return a consent, saved in place of one of the same owner and act that has run out."""
    today = consent.program.today()
    same = Consent.objects.filter(
        intake=consent.intake_id, owner=consent.owner_id, act=consent.act, withdrawn_on=None
    )
    same.filter(until_on__lt=today).update(withdrawn_on=today)
    if same.exists():
        act = Act(consent.act).label.lower()
        raise ValidationError({"acts": f"{consent.owner.name} has consented already: {act}."})
    consent.full_clean()
    consent.save()
    log_event(
        consent.intake,
        f"An owner consented: {Act(consent.act).label.lower()}.",
        by=by,
        reason=SignedHow(consent.how).label,
        fields=["consents"],
    )
    return consent


@transaction.atomic
def withdraw_consent(*, consent: Consent, because: str, by: User) -> Consent:
    """End a consent today, unless it has ended; what was done until then stays done.

    Raises:
        ValidationError: the stay has ended.
    """
    stay = open_stay(consent.intake)
    found = Consent.objects.select_for_update().get(pk=consent.pk)
    if found.withdrawn_on:
        return found
    found.withdrawn_on = stay.program.today()
    found.save(update_fields=["withdrawn_on"])
    label = Act(found.act).label.lower()
    log_event(
        stay, f"A consent was taken back: {label}.", by=by, reason=because, fields=["consents"]
    )
    return found
