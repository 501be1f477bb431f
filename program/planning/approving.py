"""What an approved plan changes beyond itself: money set aside, parts kept, households told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.cases.models import Case
from program.days.actions import book
from program.households.stages import Stage, may_move
from program.ledger.actions import Event, SetAside, release, set_aside
from program.ledger.models import Fund
from program.ledger.queries import standing_commitments
from program.planning import models
from program.planning.boarding import slot_from_json
from shared.accounts.roles import RoleKind
from shared.dates import add_weeks
from shared.jobs.actions import ask
from shared.outbox.actions import hold_back
from shared.outbox.models import Message
from shared.signatures.models import Signature
from sponsors.matching.actions import free_all, reserve_for_plan
from sponsors.matching.queries import fit_words
from vehicles.repairs.keeping import set_needed_by

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from program.households.models import Household
    from program.ledger.models import Commitment
    from program.planning.outcome import Home, Outcome
    from program.planning.plan import Plan
    from shared.accounts.models import User

STATUS_REPORT = "status_report"


def set_aside_money(*, plan: models.Plan, planned: Plan, by: User) -> None:
    """Commit what the plan newly pays; a fund that pays more for an item gets one new row.

    What was set aside for cases that the plan leaves out is freed first.
    """
    standing = list(standing_commitments(plan.program))
    new: dict[tuple[str, str, str], int] = {}
    for case in planned.cases:
        for payment in case.payments:
            bill = (case.case_id, payment.item_id, payment.fund_id)
            new[bill] = new.get(bill, 0) + payment.cents
    for row in standing:
        bill = (row.case.number, str(row.item_id), row.fund.code)
        if bill in new:
            new[bill] += row.cents
    freed = [row for row in standing if _is_freed(row, planned, new)]
    today = plan.program.today()
    key, name = f"plan:{plan.pk}", f"plan {plan.number}"
    event = Event(key=f"{key}:freed", on=today, what=f"Freed for {name}")
    release(program=plan.program, event=event, commitments=freed, by=by)
    event = Event(key=key, on=today, what=f"Set aside by {name}")
    set_aside(program=plan.program, event=event, rows=_rows(plan, new), by=by)


def _is_freed(row: Commitment, planned: Plan, new: dict[tuple[str, str, str], int]) -> bool:
    renewed = (row.case.number, str(row.item_id), row.fund.code) in new
    return renewed or planned.case(row.case.number) is None


def _rows(plan: models.Plan, new: dict[tuple[str, str, str], int]) -> list[SetAside]:
    funds = {row.code: row for row in Fund.objects.filter(program_id=plan.program_id)}
    cases = {row.number: row for row in Case.objects.filter(program_id=plan.program_id)}
    return [
        SetAside(fund=funds[fund], case=cases[case], item_id=int(item), cents=cents)
        for (case, item, fund), cents in sorted(new.items())
        if cents
    ]


def take_parts(*, plan: models.Plan, before: models.Plan | None, planned: Plan, by: User) -> None:
    """Keep the given parts for the cars that the plan sends home.

    What the plan before kept is free again first, unless a person confirmed it.
    """
    if before:
        because = f"Plan {plan.number} took its place."
        free_all(program=plan.program, made_for=f"plan:{before.number}", because=because, by=by)
    given = [
        (int(part.supply_id), int(part.need_id.partition(".")[0]))
        for case in planned.cases
        for part in case.parts
        if part.supply_id
    ]
    words = fit_words(given)
    pairs = [(unit, need, words[unit, need]) for unit, need in given]
    reserve_for_plan(program=plan.program, pairs=pairs, made_for=f"plan:{plan.number}", by=by)


def book_days(*, plan: models.Plan, outcome: Outcome, by: User) -> None:
    """Book the days laid out, and write by which day each part is wanted."""
    rows = [slot_from_json(row) for row in outcome.slots]
    book(program=plan.program, cause=f"plan:{plan.pk}", rows=rows, by=by)
    starts = {home.case_id: home.start_on for home in outcome.homes}
    days = {
        int(source.need_id.partition(".")[0]): starts[case.case_id]
        for case in outcome.plan.cases
        for source in case.parts
    }
    set_needed_by(program=plan.program, days=days, by=by)


def tell_households(*, plan: models.Plan, homes: Sequence[Home]) -> None:
    """Set the day of the next word, move who is served, and ask for one report a household."""
    _drop_unread(plan)
    going = {home.case_id for home in homes}
    cases = Case.objects.open().filter(program_id=plan.program_id, household__isnull=False)
    for case in cases.select_related("household"):
        case.next_word_on = add_weeks(plan.first_week_on, 1)
        case.save(update_fields=["next_word_on"])
        if case.number in going and case.household:
            _serve(case.household, plan.program.today())
        ask(
            program=plan.program,
            key=f"status:{case.pk}:plan:{plan.pk}",
            kind=STATUS_REPORT,
            payload={"case": case.pk, "plan": plan.pk},
        )


def _drop_unread(plan: models.Plan) -> None:
    """Hold back what an earlier plan would have told and nobody has let go yet."""
    because = f"Plan {plan.number} took its place."
    unread = Message.objects.to_read().filter(program_id=plan.program_id)
    for message in unread.filter(key__contains=":plan:").exclude(key__endswith=f":plan:{plan.pk}"):
        hold_back(message=message, because=because, by=None)


def _serve(household: Household, today: dt.date) -> None:
    if may_move(Stage(household.stage), Stage.BEING_SERVED):
        household.stage, household.stage_since_on = Stage.BEING_SERVED, today
        household.save(update_fields=["stage", "stage_since_on"])


def write_homes(plan: models.Plan, outcome: Outcome) -> None:
    """Write the day that each car of the plan can be counted on."""
    cases = _cases(plan, outcome.homes)
    rows = []
    for home in outcome.homes:
        planned = outcome.plan.case(home.case_id)
        rows.append(
            models.PlannedCase(
                program_id=plan.program_id,
                plan=plan,
                case=cases[home.case_id],
                start_week_on=home.start_on,
                home_from_on=home.from_on,
                home_by_on=home.by_on,
                cash_cents=planned.cash_cents if planned else 0,
                minutes=planned.used("minutes") if planned else 0,
                work_left=home.work[:200],
            )
        )
    models.PlannedCase.objects.bulk_create(rows)


def _cases(plan: models.Plan, homes: Sequence[Home]) -> dict[str, Case]:
    numbers = [home.case_id for home in homes]
    rows = Case.objects.filter(program_id=plan.program_id, number__in=numbers)
    return {case.number: case for case in rows}


def sign(plan: models.Plan, by: User) -> None:
    """Put a person's name under the plan, over the hash of what it was computed from."""
    signature = Signature(
        program_id=plan.program_id,
        act="approve_plan",
        kind="plan",
        object_id=plan.pk,
        by=by,
        role=RoleKind.COORDINATOR,
        content_hash=plan.input_hash,
    )
    signature.full_clean()
    signature.save()
