"""The facts of cases, gathered for the desk and for the households' pages alike."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.db.models import Count, F, Max, Min, Q
from django.db.models.functions import Coalesce

from program.cases.next_step import Facts
from program.decisions.queries import works
from program.households.stages import Stage
from program.planning.models import PlannedCase
from program.planning.states import PlanState
from program.status.models import Question
from program.status.wording import barriers, report
from vehicles.custody.acts import Act
from vehicles.custody.conditions import Step
from vehicles.custody.models import Consent
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.queries import lacking_equipment, with_sheet_state
from vehicles.intake.models import Intake
from vehicles.repairs.models import Need, RepairItem

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from django.db.models import QuerySet

    from program.cases.models import Case
    from program.decisions.queries import Work
    from program.households.models import Household
    from program.status.wording import Report
    from shared.accounts.models import Program
    from shared.say import Say

TIERS = range(5)


def with_parts(cases: QuerySet[Case]) -> QuerySet[Case]:
    """Return cases with household, address, vehicle and condition, at no further query."""
    return cases.select_related("household__address", "vehicle__condition", "link", "program")


def stays(cases: Iterable[Case], program: Program) -> dict[int, Any]:
    """Return the newest stay of each case's vehicle, by vehicle, with the points left to read."""
    vehicles = [case.vehicle_id for case in cases if case.vehicle_id]
    stays = Intake.objects.filter(vehicle__in=vehicles).select_related("departure")
    lacking = lacking_equipment(program, program.today())
    rows = with_sheet_state(stays, lacking)
    return {row.vehicle_id: row for row in rows.order_by("arrived_on", "pk")}


def facts_of(cases: Sequence[Case], program: Program) -> dict[int, Facts]:
    """Return the facts of each case that has a household, by case; as many queries for any number.

    `cases` come from `with_parts`.
    """
    today, with_household = program.today(), [case for case in cases if case.household]
    newest = stays(with_household, program)
    ids = [stay.pk for stay in newest.values()]
    tiers, needs, signed = _open_by_tier(ids), _unserved(ids), _consents(ids, today)
    planned, asked = planned_of(with_household), _asked_on(with_household, program)
    authorized = works([stay.pk for stay in newest.values() if not stay.left_on])
    found = {}
    for case in with_household:
        stay = newest.get(case.vehicle_id or 0)
        key = stay.pk if stay else 0
        is_here = stay is not None and stay.left_on is None
        home = planned.get(case.pk)
        found[case.pk] = _facts(
            case,
            today,
            consent_given=not is_here or key in signed,
            unread_criteria=_unread(case, stay) if is_here else 0,
            open_by_tier=tiers.get(key, ()),
            dangerous=stay is not None and _is_dangerous(stay),
            needs_unserved=needs.get(key, 0),
            in_plan=home is not None,
            home_until=home.home_by_on if home else None,
            question_on=asked.get(case.pk),
            **_beyond(authorized.get(key)),
        )
    return found


def _facts(case: Case, today: dt.date, **found: object) -> Facts:
    """Return the facts of one case: what its own rows say, beside what was found."""
    household: Household = case.household  # type: ignore[assignment]  # cases without are left out
    stage = Stage(household.stage)
    condition = getattr(case.vehicle, "condition", None)
    waited = (today - household.stage_since_on).days if stage == Stage.WAITING else 0
    return Facts(
        stage=stage,
        today=today,
        car=Step(condition.step) if condition else None,
        since_on=household.stage_since_on,
        safe_contact_set=household.safe_contact_on is not None,
        promised_on=case.promised_on,
        days_waiting=waited,
        **found,  # type: ignore[arg-type]  # the caller names them
    )


def _beyond(work: Work | None) -> dict[str, Any]:
    """Return whether the work of a stay has stopped, and since when a supplement waits."""
    if work is None:
        return {}
    waiting = work.waiting
    zone = work.authorization.program.zone
    on = waiting.asked_at.astimezone(zone).date() if waiting else None
    return {"stopped": work.forecast.stops, "supplement_on": on}


def _unread(case: Case, stay: Any) -> int:
    """Return the points left to read: none once a finding has ended the look."""
    condition = getattr(case.vehicle, "condition", None)
    if condition and condition.step == Step.FINAL_INSPECTION:
        return int(stay.left_final)
    return 0 if stay.stopped else int(stay.left)


def _is_dangerous(stay: Any) -> bool:
    """Return whether a dangerous finding is open, or a notice named one when the car went."""
    departure = getattr(stay, "departure", None)
    if stay.left_on:
        return departure is not None and bool(departure.dangers)
    return bool(stay.worst == DeficiencyClass.DANGEROUS.rank)


def _open_by_tier(stays: list[int]) -> dict[int, tuple[int, ...]]:
    """Return how many items of each tier are open, by stay."""
    rows = RepairItem.objects.open().filter(intake__in=stays).values("intake_id", "tier")
    counts: dict[int, list[int]] = {}
    for row in rows.annotate(count=Count("pk")).order_by():
        counts.setdefault(row["intake_id"], [0 for _ in TIERS])[row["tier"]] = row["count"]
    return {key: tuple(by_tier) for key, by_tier in counts.items()}


def _unserved(stays: list[int]) -> dict[int, int]:
    """Return how many open needs have fewer units kept for them than they lack, by stay."""
    kept = Count("reservations", filter=Q(reservations__freed_at__isnull=True))
    rows = Need.objects.open().filter(item__intake__in=stays, item__state="open")
    found: dict[int, int] = {}
    for stay in (
        rows.annotate(kept=kept)
        .filter(kept__lt=F("quantity"))
        .values_list("item__intake_id", flat=True)
    ):
        found[stay] = found.get(stay, 0) + 1
    return found


def _consents(stays: list[int], today: dt.date) -> set[int]:
    """Return the stays to whose work an owner's consent is in force."""
    rows = Consent.objects.filter(
        Q(until_on__isnull=True) | Q(until_on__gte=today),
        intake__in=stays,
        act__in=[Act.DIAGNOSE, Act.REPAIR],
        given_on__lte=today,
        withdrawn_on__isnull=True,
        owner__ended_on__isnull=True,
    )
    return set(rows.values_list("intake_id", flat=True))


def planned_of(cases: Iterable[Case]) -> dict[int, PlannedCase]:
    """Return where each case stands in the approved plan, by case."""
    ids = [case.pk for case in cases]
    rows = PlannedCase.objects.filter(case__in=ids, plan__state=PlanState.APPROVED)
    return {row.case_id: row for row in rows}


def _asked_on(cases: Iterable[Case], program: Program) -> dict[int, dt.date]:
    """Return the day of the oldest question that waits for an answer, by case."""
    ids = [case.pk for case in cases]
    rows = Question.objects.filter(case__in=ids, answered_at__isnull=True).order_by()
    first = rows.values("case_id").annotate(first=Min("asked_at"))
    return {row["case_id"]: row["first"].astimezone(program.zone).date() for row in first}


def page_barriers(household: Household | None) -> list[Say]:
    """Return why a household may have no private page; empty when it may."""
    if household is None:
        return []
    return barriers(household.address.rule, asked=household.safe_contact_on is not None)


def may_have_page(case: Case) -> bool:
    """Return whether the safe-contact rule allows a private page for the case."""
    return case.household is not None and not page_barriers(case.household)


def report_of(case: Case) -> Report | None:
    """Return what the household of a case reads now; None for a car without a household."""
    facts = facts_of([case], case.program).get(case.pk)
    if facts is None:
        return None
    return report(facts, home_by_on=facts.home_until, next_word_on=case.next_word_on)


def updated_at(case: Case) -> dt.datetime:
    """Return when something that the page tells was last changed."""
    condition = getattr(case.vehicle, "condition", None)
    planned = PlannedCase.objects.filter(case=case, plan__state=PlanState.APPROVED)
    newest = planned.aggregate(at=Max("plan__approved_at"))["at"]
    answered = case.questions.aggregate(at=Max(Coalesce("answered_at", "asked_at")))["at"]
    moments = [at for at in (newest, answered, condition and condition.since_at) if at]
    return max(moments, default=case.program.made_at)
