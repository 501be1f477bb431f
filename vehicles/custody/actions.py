"""What was asked about a car, whose it is, and what came with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction

from shared.audit.actions import log_event
from vehicles.custody.conditions import IN_CARE, MOVES, Mobility, Step
from vehicles.custody.keeping import move_vehicle, write_key_move
from vehicles.custody.kinds import ContentKind, Hold, Lien, Stolen
from vehicles.custody.models import Condition, Content, KeyTag, Owner, Standing
from vehicles.custody.queries import RELEASE, open_stay
from vehicles.intake.actions import begin_stay
from vehicles.intake.kinds import Arrival
from vehicles.intake.queries import stay_of_key

if TYPE_CHECKING:
    import datetime as dt
    from uuid import UUID

    from shared.accounts.models import User
    from vehicles.custody.acts import OwnerKind
    from vehicles.custody.kinds import Joined, Paper
    from vehicles.intake.models import Intake, Vehicle
    from vehicles.intake.values import ArrivalAnswers, CarAnswers

CHANGED_MEANWHILE = "Somebody else changed this meanwhile. Look at it again, then decide."
ANSWERS = ("paper", "joined", "lien", "hold", "stolen", "papers_agree", "note")
KEYS = ("tag", "keys", "wheel_lock_key", "radio_code", "holder")
# What it takes to move a car that came so, until somebody tries.
MOVES_AS = {
    Arrival.DRIVEN: Mobility.DRIVES,
    Arrival.PUSHED: Mobility.ROLLS,
    Arrival.TOWED: Mobility.DEAD,
}


@transaction.atomic
def receive_vehicle(
    *,
    vehicle: Vehicle | None,
    car: CarAnswers,
    arrival: ArrivalAnswers,
    version: int | None,
    client_key: UUID,
    by: User,
) -> Intake:
    """Begin a stay, and put the car on the lot, or as a comeback into assessment.

    The same `client_key` again returns the stay that it began.

    Raises:
        ValidationError: `begin_stay` refuses, or no car can come from its step, such as scrapped.
    """
    if by.program and (there := stay_of_key(by.program, client_key)):
        return there
    stay = begin_stay(
        vehicle=vehicle, car=car, arrival=arrival, version=version, client_key=client_key, by=by
    )
    here = Condition.objects.filter(vehicle=stay.vehicle).first()
    mobility = MOVES_AS[Arrival(arrival.arrived_by)]
    for step in _arriving(Step(here.step) if here else Step.EXPECTED, again=arrival.comeback):
        move_vehicle(vehicle=stay.vehicle, step=step, mobility=mobility, by=by)
    return stay


def _arriving(now: Step, *, again: bool) -> tuple[Step, ...]:
    """Return the steps that a car takes as it arrives; one that is in care stays in its step."""
    if again and now is Step.HANDED_BACK:
        return (Step.ASSESSMENT,)
    if Step.EXPECTED in MOVES[now]:
        return (Step.EXPECTED, Step.ON_LOT)
    return (now,) if now in IN_CARE and now is not Step.ABANDONED else (Step.ON_LOT,)


@transaction.atomic
def record_standing(  # noqa: PLR0913  # so many questions are asked
    *,
    intake: Intake,
    paper: Paper,
    joined: Joined,
    lien: Lien,
    hold: Hold,
    stolen: Stolen,
    papers_agree: bool | None,
    note: str = "",
    by: User,
    version: int | None = None,
) -> Standing:
    """Write the answers about whose the car is; a changed answer undoes the decision on the old.

    Raises:
        ValidationError: the stay has ended, or somebody else changed the answers meanwhile.
    """
    stay = open_stay(intake)
    found = Standing.objects.select_for_update().filter(intake=stay).first()
    found = found or Standing(program_id=stay.program_id, intake=stay, version=0)
    wanted = (paper, joined, lien, hold, stolen, papers_agree, note.strip())
    changed = _written(found, dict(zip(ANSWERS, wanted, strict=True)), version)
    if not changed:
        return found
    found.asked_on, found.asked_by = stay.program.today(), by
    if set(changed) != {"note"}:
        found.cleared_on, found.cleared_by, found.cleared_because = None, None, ""
    found.full_clean()
    found.save()
    log_event(stay, "It was asked whose the car is.", by=by, fields=changed)
    return found


def _written(row: Standing | KeyTag, wanted: dict[str, object], version: int | None) -> list[str]:
    """Write what is wanted into a row and return what changed; refuse a version that is not its."""
    is_new = row.pk is None
    changed = [name for name, value in wanted.items() if is_new or getattr(row, name) != value]
    if changed and (version or 0) != row.version:
        raise ValidationError(CHANGED_MEANWHILE)
    for name in changed:
        setattr(row, name, wanted[name])
    row.version += bool(changed)
    return changed


@transaction.atomic
def decide_standing(
    *, standing: Standing, because: str, release: str = "", by: User, version: int
) -> Standing:
    """Let the work go on in spite of a lien, a hold or papers that disagree, with the reason.

    `release` is the number of the police's release; without it nothing undoes a report of theft.

    Raises:
        ValidationError: the stay has ended, nothing stands against the car, the reason or the
            release is missing, or somebody else changed the answers meanwhile.
    """
    stay = open_stay(standing.intake)
    found = Standing.objects.select_for_update().get(pk=standing.pk)
    if found.version != version:
        raise ValidationError(CHANGED_MEANWHILE)
    if not is_to_decide(found):
        raise ValidationError("Nothing stands against this car.")
    if not because.strip():
        raise ValidationError({"because": "A decision needs its reason."})
    if found.stolen == Stolen.REPORTED and not release.strip():
        raise ValidationError({"release": "Only a release of the police undoes a report of theft."})
    reason = f"{RELEASE} {release.strip()}: {because.strip()}" if release.strip() else because
    found.cleared_on, found.cleared_by = stay.program.today(), by
    found.cleared_because = reason.strip()
    found.version += 1
    found.full_clean()
    found.save()
    log_event(stay, "It was decided to go on.", by=by, fields=["cleared_because"])
    return found


def is_to_decide(standing: Standing) -> bool:
    """Return whether an answer asks for a person's decision that nobody has taken."""
    return standing.cleared_on is None and (
        standing.stolen == Stolen.REPORTED
        or standing.hold not in {Hold.NONE, Hold.UNKNOWN}
        or standing.lien == Lien.IN_DEFAULT
        or standing.papers_agree is False
    )


@transaction.atomic
def name_owner(
    *, intake: Intake, name: str, kind: OwnerKind, paper_seen_on: dt.date, by: User
) -> Owner:
    """Write somebody whom a paper names for the car of a stay.

    Raises:
        ValidationError: the stay has ended, this owner is on record already, or the day the paper
            was seen has not come.
    """
    stay = open_stay(intake)
    if paper_seen_on > stay.program.today():
        raise ValidationError({"paper_seen_on": "This day has not come yet."})
    owner = Owner(
        program_id=stay.program_id,
        vehicle_id=stay.vehicle_id,
        name=" ".join(name.split()),
        kind=kind,
        paper_seen_on=paper_seen_on,
    )
    owner.full_clean()
    owner.save()
    log_event(stay, f"A {kind.value} names somebody.", by=by, fields=["owners"])
    return owner


@transaction.atomic
def end_owner(*, intake: Intake, owner: Owner, by: User) -> Owner:
    """End an owner today, and with it every consent of theirs; one that has ended is left as it is.

    Raises:
        ValidationError: the stay has ended.
    """
    stay = open_stay(intake)
    found = Owner.objects.select_for_update().get(pk=owner.pk)
    if found.ended_on:
        return found
    found.ended_on = stay.program.today()
    found.save(update_fields=["ended_on"])
    log_event(stay, "An owner is no longer named.", by=by, fields=["owners"])
    return found


@transaction.atomic
def keep_keys(  # noqa: PLR0913  # a tag has this many parts
    *,
    intake: Intake,
    tag: str,
    keys: int,
    wheel_lock_key: bool | None,
    radio_code: bool | None,
    holder: str,
    by: User,
    version: int | None = None,
) -> KeyTag:
    """Write the tag, the keys under it and who has them now; each change of hands is logged.

    Raises:
        ValidationError: the stay has ended, the tag hangs on another car's keys, a value is not
            possible, or somebody else changed it meanwhile.
    """
    stay = open_stay(intake)
    found = KeyTag.objects.select_for_update().filter(intake=stay).first()
    found = found or KeyTag(program_id=stay.program_id, intake=stay, version=0)
    was_out = found.returned_on is not None
    wanted = (tag.strip().upper(), keys, wheel_lock_key, radio_code, holder.strip())
    changed = _written(found, dict(zip(KEYS, wanted, strict=True)), version)
    if not changed:
        return found
    found.returned_on = None
    found.full_clean()
    found.save()
    if "holder" in changed or was_out:
        write_key_move(found, by)
    log_event(stay, "The keys changed hands or tag.", by=by, fields=changed)
    return found


@transaction.atomic
def list_content(
    *, intake: Intake, kind: ContentKind, what: str, where: str = "", client_key: UUID, by: User
) -> Content:
    """List a thing that lies in the car; the same `client_key` again returns what it listed.

    Raises:
        ValidationError: the stay has ended, or it is not said what it is.
    """
    stay = open_stay(intake)
    if there := Content.objects.filter(client_key=client_key, intake=stay).first():
        return there
    content = Content(
        program_id=stay.program_id,
        intake=stay,
        client_key=client_key,
        kind=kind,
        what=what.strip(),
        where=where.strip(),
        listed_on=stay.program.today(),
        by=by,
    )
    content.full_clean()
    content.save()
    log_event(stay, f"Listed: {kind.label.lower()}.", by=by, fields=["contents"])
    return content


@transaction.atomic
def decide_content(*, content: Content, because: str, by: User) -> Content:
    """Decide on a weapon or a biohazard, so that the work may begin; once decided, it stays.

    Raises:
        ValidationError: the stay has ended, nothing is to be decided, or the reason is missing.
    """
    stay = open_stay(content.intake)
    found = Content.objects.select_for_update().get(pk=content.pk)
    if found.decided_by_id:
        return found
    if not ContentKind(found.kind).stops_work:
        raise ValidationError("Nothing is to be decided on this.")
    if not because.strip():
        raise ValidationError({"because": "Say what was decided."})
    found.decided_by, found.decided_because = by, because.strip()
    found.full_clean()
    found.save()
    log_event(stay, "It was decided on what lies in the car.", by=by, fields=["contents"])
    return found
