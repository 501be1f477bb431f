"""Returning a car unrepaired: one action that ends its stay and frees all that was kept for it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.template.loader import render_to_string
from django.utils import timezone, translation

from program.cases.models import Case
from program.handback.queries import case_of, commitments_of, findings_of, obstacles
from program.handback.sheet import in_language, notice_of, sheet_of
from program.handback.wording import After
from program.households.actions import move_stage
from program.households.models import Household
from program.households.stages import Stage, add_business_days, may_move
from program.ledger.actions import Event, release
from program.planning.actions import give_up_place
from program.planning.keeping import MATCH
from shared.accounts.models import Program
from shared.audit.actions import log_event
from shared.documents.actions import issue
from shared.jobs.actions import ask
from shared.outbox.actions import write_message
from shared.outbox.contact import MaySay, MessageKind
from sponsors.matching.actions import free_needs
from sponsors.matching.states import Freed
from vehicles.custody.keeping import depart
from vehicles.custody.models import Departure
from vehicles.custody.queries import open_stay
from vehicles.intake.models import Intake
from vehicles.repairs.actions import withdraw_items
from vehicles.repairs.models import Need

if TYPE_CHECKING:
    from collections.abc import Callable

    from program.handback.sheet import Returning, Sheet, Words
    from shared.accounts.models import User

CHANGED = "Somebody else changed this stay meanwhile. Look at it again, then decide."
READ_AGAIN = "The notice has changed since it was read. Read it again, then sign."
DECISION_DAYS = 2  # business days until the household hears what it gets instead (common practice)
REASON = 200


@transaction.atomic
def return_unrepaired(
    *, intake: Intake, returning: Returning, draw: Callable[[Sheet], bytes], by: User
) -> Departure:
    """End a stay with a car that is not repaired, and free all that was kept for it.

    In this order: custody lets the car go; kept units, open work and money set aside are freed; the
    plan lets go; the case closes or waits for a decision; the household's message and the notice,
    as `draw` makes it, are written. The same client key again returns what it wrote.

    Raises:
        ValidationError: the stay has ended, somebody changed it or the notice's words meanwhile,
            something keeps the car here, or custody refuses. Nothing is changed then.
    """
    leaving = returning.leaving
    locked = Intake.objects.select_for_update().get(pk=intake.pk)
    if there := Departure.objects.filter(client_key=leaving.client_key, intake=locked).first():
        return there
    stay = open_stay(locked)
    case = _locked_case(stay)
    words = _words(stay, returning)
    leaving = replace(leaving, dangers=words.dangers)
    departure = depart(intake=stay, leaving=leaving, by=by)
    _free(stay, case, by)
    if case and not case.closed_on:
        _go_on(case, returning, by)
    if case:
        log_event(case, "The car was returned unrepaired.", by=by, reason=leaving.because)
        _tell(case, departure)
    sheet = sheet_of(stay, case, words, returning)
    issue(holder=departure, number=sheet.number, title=words.title, content=draw(sheet), by=by)
    return departure


def _locked_case(stay: Intake) -> Case | None:
    """Return the case of a stay, locked; before it the program's row, as an approval does."""
    Program.objects.select_for_update(no_key=True).get(pk=stay.program_id)
    found = case_of(stay)
    if found:
        Case.objects.select_for_update().get(pk=found.pk)
    return found


def _words(stay: Intake, returning: Returning) -> Words:
    """Return the notice as it was read; refuse what has changed since, and what keeps the car."""
    if returning.version != stay.version:
        raise ValidationError(CHANGED)
    if barred := obstacles(stay):
        raise ValidationError([f"{one.sentence} {one.remedy}" for one in barred])
    words = in_language(notice_of(stay, findings_of(stay)), returning.leaving.language)
    if returning.leaving.content_hash != words.digest:
        raise ValidationError(READ_AGAIN)
    return words


def _free(stay: Intake, case: Case | None, by: User) -> None:
    """Free the units, the open work with its needs, the money and the place in the plan."""
    program = stay.program
    needs = list(Need.objects.filter(item__intake=stay).values_list("pk", flat=True))
    units = free_needs(program=program, needs=needs, because=Freed.RETURNED, by=by)
    withdraw_items(intake=stay, because=Freed.RETURNED, by=by)
    what = f"Freed: car returned, case {case.number}" if case else "Freed: car returned"
    event = Event(key=f"returned:{stay.pk}", on=program.today(), what=what)
    release(program=program, event=event, commitments=commitments_of(stay, case), by=by)
    if case:
        give_up_place(case=case, by=by)
    if units:
        ask(program=program, key=f"match:returned:{stay.pk}", kind=MATCH)


def _go_on(case: Case, returning: Returning, by: User) -> None:
    """Close the case with its household's way out, or give it a day to be decided by."""
    on, because = returning.leaving.on, returning.leaving.because.strip()
    household = case.household
    case.promised_on = case.next_word_on = None
    if household and returning.after is None:
        raise ValidationError({"after": "Say what becomes of the case."})
    if household and returning.after is After.DECIDE:
        case.next_word_on = add_business_days(on, DECISION_DAYS)
        if may_move(Stage(household.stage), Stage.DECIDING):
            _move(household, Stage.DECIDING, returning, by)
    else:
        if household and returning.after:
            _move(household, Stage(returning.after.value), returning, by)
        case.closed_on, case.closed_because = on, f"Returned unrepaired: {because}"[:REASON]
    case.version += 1
    case.full_clean()
    case.save()


def _move(household: Household, to: Stage, returning: Returning, by: User) -> None:
    found = Household.objects.get(pk=household.pk)
    move_stage(
        household=found,
        to=to,
        on=returning.leaving.on,
        by=by,
        version=found.version,
        reason=f"Returned unrepaired: {returning.leaving.because.strip()}",
    )


def _tell(case: Case, departure: Departure) -> None:
    """Write to the household where it was asked how; its rule decides when the mail is to go."""
    household = case.household
    if household is None:
        return
    if household.safe_contact_on is None:
        said = "No message: nobody has asked yet how they may safely be reached."
        log_event(case, said, by=None)
        return
    with translation.override(household.address.language), timezone.override(case.program.zone):
        context = {"departure": departure, "case": case, "program": case.program}
        write_message(
            program=case.program,
            key=f"returned:{departure.pk}",
            address=household.address,
            kind=MessageKind.STATUS,
            tells=MaySay.PROGRESS,
            subject=translation.gettext("Your car is back with you"),
            text=render_to_string("handback/returned.txt", context),
        )
