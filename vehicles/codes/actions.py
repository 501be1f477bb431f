"""Trouble codes are read, cleared, or a reading is withdrawn."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.people.may import INSPECT
from shared.people.queries import refuse_unless_may
from shared.say import say
from vehicles.codes.models import CodeScan, TroubleCode
from vehicles.codes.pasting import parse
from vehicles.codes.queries import counted, scans_of
from vehicles.codes.trouble_codes import decode
from vehicles.codes.urgency import Signs, urgency, volts_of
from vehicles.codes.values import Sign
from vehicles.custody.acts import Act
from vehicles.custody.queries import open_stay, refuse_without
from vehicles.inspection.units import number

if TYPE_CHECKING:
    from uuid import UUID

    from shared.accounts.models import User
    from vehicles.codes.pasting import Entered
    from vehicles.codes.values import CodesRead
    from vehicles.intake.models import Intake

MOST_CODES: Final = 200
NO_CODE: Final = (
    "No code was read. Type the codes as the tool shows them, or say that all modules were read "
    "and none has one."
)
DOUBTFUL: Final = "doubtful"


@transaction.atomic
def record_scan(
    *, intake: Intake, read: CodesRead, client_key: UUID | None = None, by: User
) -> CodeScan:
    """Record one reading of the codes of a car. Sent twice, recorded once.

    Each code is kept with its meaning and source as the table says them today, and with its
    severity, one step worse where a sign of danger was seen.

    Raises:
        ValidationError: the stay has ended, nobody consented, this user may not inspect, the
            voltage is not possible, no code was read and not all modules were, something looks like
            a code and is none, or there are too many.
    """
    stay = open_stay(intake)
    known = CodeScan.objects.filter(intake=stay, client_key=client_key).first()
    if client_key and known:
        return _same(known, read)
    _refuse_work(stay, by)
    signs = _signs(read)
    entered = _entered(read)
    scan = CodeScan(
        program_id=stay.program_id,
        intake=stay,
        pasted=_plain(read.pasted),
        complete=read.complete,
        battery_volts="" if signs.battery_volts is None else number(signs.battery_volts),
        lamp=read.lamp,
        freeze_frame=_plain(read.freeze_frame).strip(),
        note=_note(read, signs, entered),
        by=by,
        client_key=client_key,
    )
    scan.full_clean()
    scan.save()
    TroubleCode.objects.bulk_create(code_row(scan, one, signs) for one in entered)
    log_event(stay, "Trouble codes were read.", by=by, fields=["codes"])
    return scan


@transaction.atomic
def record_clearing(*, scan: CodeScan, by: User) -> CodeScan:
    """Record that the codes were cleared after a reading. Recorded twice, it stays as it was.

    Raises:
        ValidationError: the reading is withdrawn or not the newest, the stay has ended, nobody
            consented, or this user may not inspect.
    """
    stay = open_stay(scan.intake)
    row = CodeScan.objects.select_for_update().get(pk=scan.pk)
    if row.cleared_at:
        return row
    _refuse_work(stay, by)
    newest = counted(scans_of(stay))[:1]
    if newest != [row]:
        raise ValidationError(
            "This reading is not the newest. Record the clearing beside what was read last."
        )
    row.cleared_at, row.cleared_by = timezone.now(), by
    row.full_clean()
    row.save()
    log_event(stay, "Trouble codes were cleared.", by=by, fields=["codes"])
    return row


@transaction.atomic
def withdraw_scan(*, scan: CodeScan, because: str, by: User) -> CodeScan:
    """Withdraw a reading; it stays on record and no longer counts. Done twice, it stays so.

    Raises:
        ValidationError: no reason is given, the stay has ended, or this user may not inspect.
    """
    stay = open_stay(scan.intake)
    row = CodeScan.objects.select_for_update().get(pk=scan.pk)
    if row.withdrawn_at:
        return row
    refuse_unless_may(by, INSPECT, stay.program.today())
    if not because.strip():
        raise ValidationError({"because": "Say why this reading is withdrawn."})
    row.withdrawn_at, row.withdrawn_because = timezone.now(), because.strip()
    row.full_clean()
    row.save()
    log_event(
        stay, "A reading of trouble codes was withdrawn.", by=by, reason=row.withdrawn_because
    )
    return row


def _refuse_work(stay: Intake, by: User) -> None:
    today = stay.program.today()
    refuse_without(stay, Act.DIAGNOSE, today)
    refuse_unless_may(by, INSPECT, today)


def _same(known: CodeScan, read: CodesRead) -> CodeScan:
    """Return the reading that this key recorded already, unless the form says another now."""
    if known.pasted == _plain(read.pasted):
        return known
    raise ValidationError("This form was sent already. Open the page again, then type the codes.")


def _signs(read: CodesRead) -> Signs:
    try:
        volts = volts_of(read.volts)
    except ValueError as error:
        raise ValidationError({"volts": str(error)}) from error
    return Signs(
        lamp=read.lamp,
        smoke=Sign.SMOKE in read.signs,
        fuel_smell=Sign.FUEL_SMELL in read.signs,
        overheating=Sign.OVERHEATING in read.signs,
        brakes_lost=Sign.BRAKES_LOST in read.signs,
        steering_lost=Sign.STEERING_LOST in read.signs,
        battery_volts=volts,
    )


def _entered(read: CodesRead) -> tuple[Entered, ...]:
    """Return the codes of what was typed, once everything in it is clear."""
    try:
        found = parse(read.pasted)
    except ValueError as error:
        raise ValidationError({"pasted": str(error)}) from error
    doubtful = [str(one.sentence) for one in found.unread if one.suggestion]
    if doubtful and not (read.as_it_is and found.entered):
        raise ValidationError({"pasted": [ValidationError(one, code=DOUBTFUL) for one in doubtful]})
    if not found.entered and not read.complete:
        raise ValidationError({"pasted": NO_CODE})
    if len(found.entered) > MOST_CODES:
        count = len(found.entered)
        raise ValidationError(
            {"pasted": f"{count} codes are too many for one reading. Paste at most {MOST_CODES}."}
        )
    return found.entered


def _note(read: CodesRead, signs: Signs, entered: tuple[Entered, ...]) -> str:
    """Return the note, after the sentence that keeps the signs of danger."""
    seen = signs.raising if entered else None
    if signs.danger and not entered:
        seen = say("Seen with it: {signs}.", signs=", ".join(map(str, signs.danger)))
    return f"{seen or ''} {read.note.strip()}".strip()


def code_row(scan: CodeScan, one: Entered, signs: Signs) -> TroubleCode:
    """Return one code of a reading, not saved, with its meaning as the table says it today."""
    known = decode(one.code)
    row = TroubleCode(
        program_id=scan.program_id,
        scan=scan,
        code=one.code,
        storage=one.storage,
        meaning=known.meaning,
        severity=urgency(known.severity, signs) or "",
        source=known.source,
        seen=known.seen,
    )
    row.clean_fields(exclude=["program", "scan"])  # no query for each of 200 codes
    return row


def _plain(text: str) -> str:
    return text.replace("\r\n", "\n")
