"""What the maker says of a fluid, a reading, what was poured in, and taking either back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.people.queries import signed_name
from vehicles.fluids.gathering import at_work, state_of
from vehicles.fluids.levels import Level
from vehicles.fluids.models import FluidReading, FluidRule, TopUp
from vehicles.fluids.specifications import Bottle
from vehicles.fluids.values import volume, with_unit
from vehicles.fluids.wording import too_much
from vehicles.fluids.writing import follow, withdraw_with
from vehicles.inspection.units import convert

if TYPE_CHECKING:
    from fractions import Fraction

    from shared.accounts.models import User
    from vehicles.fluids.gathering import State
    from vehicles.fluids.levels import Step
    from vehicles.fluids.rows import Fluid
    from vehicles.fluids.values import Demand, Noted, Poured
    from vehicles.intake.models import Intake

LONGEST_SAID = 300
_MAY_BE_EMPTY = ("engine", "heat", "level_ground")
_RULE_FIELDS = ("specification", "engine", "heat", "stick", "between", "capacity", "source")


@transaction.atomic
def set_demand(*, intake: Intake, fluid: Fluid, demand: Demand, by: User) -> FluidRule:
    """Record what the maker says of a fluid of this car; what stood before stays as history.

    The newest reading is judged anew by it. Sent twice, it is recorded once.

    Raises:
        ValidationError: the stay has ended, nobody consented, this user may not do it, an amount is
            not possible, or somebody else recorded another answer since the form was shown.
    """
    stay = at_work(intake, fluid, by)
    before = state_of(stay, fluid).rule
    row = _rule(stay, fluid, demand, by)
    if before and all(getattr(before, name) == getattr(row, name) for name in _RULE_FIELDS):
        return before
    if (before.pk if before else None) != demand.seen_id:
        raise ValidationError(
            "Somebody else recorded what the maker says meanwhile. Look, then record again."
        )
    if before:
        before.ended_at = timezone.now()
        before.save(update_fields=["ended_at"])
    row.full_clean()
    row.save()
    log_event(stay, "What the maker says of a fluid was recorded.", by=by, fields=[fluid.code])
    state = state_of(stay, fluid)
    if state.newest and state.step and not state.after_newest:
        follow(fluid, state.newest, state.step, by)
    return row


@transaction.atomic
def record_reading(*, intake: Intake, fluid: Fluid, noted: Noted, by: User) -> FluidReading:
    """Record a level as it was read, with what it means; what is low or spoiled opens a finding.

    Sent twice with one client key it is recorded once. A good reading closes no finding.

    Raises:
        ValidationError: the stay has ended, nobody consented, or this user may not do it.
    """
    stay = at_work(intake, fluid, by)
    known = FluidReading.objects.filter(intake=stay, client_key=noted.client_key).first()
    if noted.client_key and known:
        return _same(known, fluid, noted)
    row = FluidReading(
        program_id=stay.program_id,
        intake=stay,
        fluid=fluid.code,
        engine=noted.engine or "",
        heat=noted.heat or "",
        level_ground=noted.level_ground,
        missing_eighths=noted.missing_eighths if noted.level is Level.BETWEEN else None,
        level=noted.level,
        looks=noted.look,
        said="-",
        note=noted.note.strip(),
        by=by,
        read_by=signed_name(by),
        client_key=noted.client_key,
    )
    # A fluid that asks for one of these not at all has no answer to keep.
    row.full_clean(exclude=[name for name in _MAY_BE_EMPTY if not getattr(row, name)])
    row.save()
    state = state_of(stay, fluid)
    step: Step = state.step  # type: ignore[assignment]  # it was read just now
    row.said = in_short(step)
    row.save(update_fields=["said"])
    follow(fluid, row, step, by)
    log_event(stay, "A fluid was read.", by=by, fields=[fluid.code])
    return row


@transaction.atomic
def pour(*, intake: Intake, fluid: Fluid, poured: Poured, by: User) -> TopUp:
    """Record what was poured in after the newest reading. The typed amount is the truth.

    Raises:
        ValidationError: the stay has ended, nobody consented, this user may not do it, the fluid
            was read or filled since the page was shown, nothing is to be poured in, the bottle is
            the wrong one or not known, or the amount is not possible or more than this step's.
    """
    stay = at_work(intake, fluid, by)
    known = TopUp.objects.filter(reading__intake=stay, client_key=poured.client_key).first()
    if poured.client_key and known:
        return _same_pour(known, poured)
    state = state_of(stay, fluid)
    reading = _newest(state, poured)
    step = _allowed(state, reading, poured)
    _refuse_more(state, step, poured)
    row = TopUp(
        program_id=stay.program_id,
        reading=reading,
        typed=poured.typed.strip(),
        unit=poured.amount.unit,
        specification=poured.specification.strip() or "-",
        opened_before=poured.opened,
        by=by,
        client_key=poured.client_key,
    )
    row.full_clean(exclude=["opened_before"])
    row.save()
    log_event(stay, "A fluid was topped up.", by=by, fields=[fluid.code])
    return row


@transaction.atomic
def take_back_reading(*, reading: FluidReading, fluid: Fluid, by: User) -> FluidReading:
    """Take a reading back, and the findings that rest on it alone; all stay on record.

    Raises:
        ValidationError: something was poured in after it, the stay has ended, nobody consented, or
            this user may not do it.
    """
    stay = at_work(reading.intake, fluid, by)
    row = FluidReading.objects.select_related("intake__program").get(pk=reading.pk)
    if row.withdrawn_at:
        return row
    state = state_of(stay, fluid)
    if any(one.reading_id == row.pk for one in state.top_ups):
        raise ValidationError("Something was poured in after this reading. Take that back first.")
    row.withdrawn_at = timezone.now()
    row.save(update_fields=["withdrawn_at"])
    withdraw_with(state, row, by)
    log_event(stay, "A reading of a fluid was taken back.", by=by, fields=[fluid.code])
    return row


@transaction.atomic
def take_back_pour(*, top_up: TopUp, fluid: Fluid, by: User) -> TopUp:
    """Take back that something was poured in; it stays on record and no longer counts.

    Raises:
        ValidationError: the stay has ended, nobody consented, or this user may not do it.
    """
    stay = at_work(top_up.reading.intake, fluid, by)
    if TopUp.objects.filter(pk=top_up.pk, withdrawn_at=None).update(withdrawn_at=timezone.now()):
        log_event(stay, "A top-up was taken back.", by=by, fields=[fluid.code])
    top_up.refresh_from_db()
    return top_up


def _rule(stay: Intake, fluid: Fluid, demand: Demand, by: User) -> FluidRule:
    return FluidRule(
        program_id=stay.program_id,
        vehicle=stay.vehicle,
        fluid=fluid.code,
        specification=demand.specification.strip(),
        engine=demand.engine or "",
        heat=demand.heat or "",
        stick=demand.stick,
        between=_kept("between", demand.between),
        capacity=_kept("capacity", demand.capacity),
        source=demand.source,
        by=by,
    )


def _kept(field: str, text: str) -> str:
    """Return an amount as it is kept, or nothing where it is not known."""
    if not text.strip():
        return ""
    try:
        volume(text)
    except ValueError as error:
        raise ValidationError({field: str(error)}) from error
    return with_unit(text)


def in_short(step: Step) -> str:
    """Return what a reading means, as far as the row has room for whole sentences."""
    kept = ""
    for sentence in map(str, step.sentences):
        if len(f"{kept} {sentence}") <= LONGEST_SAID:
            kept = f"{kept} {sentence}".strip()
    return kept


def _same(known: FluidReading, fluid: Fluid, noted: Noted) -> FluidReading:
    """Return the reading that this key recorded already, unless the form says another now."""
    if (known.fluid, known.level, known.looks) == (fluid.code, noted.level, noted.look):
        return known
    raise ValidationError("This form was sent already. Open the page again to read once more.")


def _same_pour(known: TopUp, poured: Poured) -> TopUp:
    if (known.reading_id, known.typed) == (poured.reading, poured.typed.strip()):
        return known
    raise ValidationError("This form was sent already. Open the page again.")


def _newest(state: State, poured: Poured) -> FluidReading:
    """Return the reading that is poured after: the newest, with nothing poured in since."""
    reading, since = state.newest, state.after_newest
    if reading is None or reading.pk != poured.reading:
        raise ValidationError(
            "This is not the newest reading any more. Look at what the newest one asks for."
        )
    if since:
        raise ValidationError(
            f"{since} went in after this reading. Read it again before more goes in."
        )
    return reading


def _allowed(state: State, reading: FluidReading, poured: Poured) -> Step:
    """Return the step that pours something in with this bottle.

    Raises:
        ValidationError: the step is another one, or the bottle is wrong or not known.
    """
    asked = state.step
    if asked is None or not asked.action.pours:
        raise ValidationError([str(one) for one in asked.sentences] if asked else "Read it first.")
    bottle = Bottle(says=poured.specification, opened=poured.opened)
    step = state.step_after(reading, bottle)
    if not step.action.pours:
        raise ValidationError({"specification": [str(one) for one in step.sentences]})
    return step


def _refuse_more(state: State, step: Step, poured: Poured) -> None:
    """Refuse an amount that is none, or more than the step's or than the part holds."""
    try:
        amount = poured.amount
    except ValueError as error:
        raise ValidationError({"typed": str(error)}) from error
    most = step.amount or state.maker.capacity
    if most and _quarts(amount.value, amount.unit) > _quarts(most.value, most.unit):
        raise ValidationError({"typed": str(too_much(amount, most, in_steps=bool(step.amount)))})


def _quarts(value: Fraction, unit: str) -> Fraction:
    return convert(value, unit, "qt")
