"""What was authorized for cars, what they come to, and what was asked for beyond it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import F, Q

from program.cases.models import Case
from program.decisions.authorization import DECIDE_DAYS, Forecast, forecast
from program.decisions.models import Authorization, Supplement
from program.decisions.states import SupplementState
from program.households.stages import add_business_days
from program.ledger.chart import Kind, load
from program.ledger.models import Transfer
from shared.policy.queries import policies
from shared.problems import Problem
from shared.say import say
from vehicles.custody.acts import Act
from vehicles.custody.authority import STOPPED
from vehicles.custody.queries import authority
from vehicles.repairs.charges import Rates, corrected, labor_cents
from vehicles.repairs.costs import estimate_items, lines_of, minute_items, need_points
from vehicles.repairs.estimate import SCREEN_DRAWS, simulate
from vehicles.repairs.models import EstimateLine, RepairItem
from vehicles.repairs.queries import with_work
from vehicles.repairs.states import ItemState, NeedState

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping, Sequence

    from django.db.models import QuerySet

    from shared.accounts.models import User
    from vehicles.intake.models import Intake

ASK = say("Ask for a supplement, or take work off the list.")


@dataclass(frozen=True, kw_only=True)
class ToGo:
    """What the open items of a stay come to at their 80 percent points."""

    cents: int
    minutes: int


@dataclass(frozen=True, kw_only=True)
class Work:
    """A stay that was authorized: what it comes to, and the supplements to it, newest first."""

    authorization: Authorization
    forecast: Forecast
    supplements: tuple[Supplement, ...]
    authorized_minutes: int
    minutes: int

    @property
    def waiting(self) -> Supplement | None:
        """The supplement that somebody has to answer."""
        return next((one for one in self.supplements if _state(one).is_open), None)

    @property
    def more_minutes(self) -> int:
        """How many minutes more than authorized the whole takes; 0 when it does not."""
        return max(self.minutes - self.authorized_minutes, 0)


def _state(row: Supplement) -> SupplementState:
    return SupplementState(row.state)


# ---- what it comes to ----


def to_go(items: Sequence[RepairItem], rates: Rates, seed: int) -> ToGo:
    """Return what open items of one stay come to, by the same draws as its estimate.

    `items` are read by `with_work`; a part that a sponsor gives costs nothing.
    """
    given = {need.pk for item in items for need in item.needs.all() if need.given}
    lines = lines_of(items, given, rates)
    return ToGo(
        cents=simulate(estimate_items(lines, rates), SCREEN_DRAWS, seed).p80,
        minutes=simulate(minute_items(items, rates), SCREEN_DRAWS, seed).p80,
    )


def stay_to_go(stay: Intake) -> ToGo:
    """Return what is left on a stay by today's prices and rules."""
    items = list(with_work(RepairItem.objects.open().filter(intake=stay)))
    return to_go(items, Rates.of(policies(stay.program, stay.program.today())), stay.pk)


def works(intakes: Iterable[int]) -> dict[int, Work]:
    """Return, by stay, how far each authorized stay is; the rest are left out.

    One query where nothing is authorized, nine for any number of stays where something is.
    """
    rows = list(
        Authorization.objects.filter(intake__in=list(intakes), ended_at__isnull=True)
        .select_related("program", "estimate", "case", "intake__vehicle", "by", "owner")
        .order_by("pk")
    )
    if not rows:
        return {}
    facts = _Facts.read(rows)
    return {row.intake_id: _work(row, facts) for row in rows}


@dataclass(frozen=True, kw_only=True)
class _Facts:
    """What is read once for all stays."""

    rules: Mapping[int, Mapping[str, int]]  # by program
    items: Mapping[int, Sequence[RepairItem]]  # by stay, but for withdrawn ones
    counted: Mapping[int, int]  # what frozen estimates counted, by item; the newest wins
    supplements: Mapping[int, Sequence[Supplement]]  # by authorization
    booked: Mapping[int, int]  # what the books say was paid, by authorization

    @classmethod
    def read(cls, rows: Sequence[Authorization]) -> _Facts:
        stays = [row.intake_id for row in rows]
        programs = {row.program_id: row.program for row in rows}
        items: dict[int, list[RepairItem]] = {pk: [] for pk in stays}
        found = RepairItem.objects.filter(intake__in=stays).exclude(state=ItemState.WITHDRAWN)
        for item in with_work(found).order_by("pk"):
            items[item.intake_id].append(item)
        asked: dict[int, list[Supplement]] = {row.pk: [] for row in rows}
        for one in Supplement.objects.filter(authorization__in=rows).select_related("asked_by"):
            asked[one.authorization_id].append(one)
        lines = EstimateLine.objects.filter(
            estimate__intake__in=stays, estimate__frozen_at__isnull=False
        )
        return cls(
            rules={pk: policies(one, one.today()) for pk, one in programs.items()},
            items=items,
            counted=dict(lines.order_by("estimate__number").values_list("item_id", "p80_cents")),
            supplements=asked,
            booked=_booked(rows),
        )


def _work(row: Authorization, facts: _Facts) -> Work:
    rules = facts.rules[row.program_id]
    rates, items = Rates.of(rules), facts.items[row.intake_id]
    since = row.at.astimezone(row.program.zone).date()
    done = [one for one in items if one.done_on and one.done_on >= since]
    left = to_go([one for one in items if one.state == ItemState.OPEN], rates, row.intake_id)
    supplements = tuple(facts.supplements[row.pk])
    agreed = [one for one in supplements if _state(one) is SupplementState.AGREED]
    return Work(
        authorization=row,
        forecast=forecast(
            spent_cents=_spent(done, facts, rates, row.pk),
            to_go_p80_cents=left.cents,
            authorized_cents=row.cents + sum(one.cents for one in agreed),
            over_percent=rules["stop_over_percent"],
        ),
        supplements=supplements,
        authorized_minutes=row.minutes + sum(one.minutes for one in agreed),
        minutes=left.minutes + sum(_took(one, rates) for one in done),
    )


def _spent(done: Sequence[RepairItem], facts: _Facts, rates: Rates, row: int) -> int:
    """Return what is gone: paid labor, and the more of what the items and what the books say."""
    recorded = [one for one in done if one.cost_cents is not None]
    labor = sum(labor_cents(_took(one, rates), rates.labor_cents_per_hour) for one in recorded)
    paid = sum(one.cost_cents or 0 for one in recorded)
    unrecorded = sum(_presumed(one, facts, rates) for one in done if one.cost_cents is None)
    return max(labor + paid + unrecorded, facts.booked.get(row, 0))


def _took(item: RepairItem, rates: Rates) -> int:
    """Return the minutes an item took, or where nobody wrote it, those that were likely."""
    if item.took_minutes is not None:
        return item.took_minutes
    return corrected(item.labor_likely_minutes, rates.labor_correction_percent)


def _presumed(item: RepairItem, facts: _Facts, rates: Rates) -> int:
    """Return the cost of a done item of which nobody wrote one: as authorized, else as likely."""
    if item.pk in facts.counted:
        return facts.counted[item.pk]
    parts = sum(
        need_points(need, rates)[1]
        for need in item.needs.all()
        if not need.given and need.state != NeedState.WITHDRAWN
    )
    labor = labor_cents(_took(item, rates), rates.labor_cents_per_hour)
    return item.sublet_cents + parts + labor


def _booked(rows: Sequence[Authorization]) -> dict[int, int]:
    """Return what the books say was paid for each case since it was authorized; one query.

    What was given in kind is no money; what is set aside is not spent.
    """
    chart = load()
    expenses = [code for code, one in chart.items() if one.kind is Kind.EXPENSE]
    money = [code for code, one in chart.items() if one.spendable and one.kind is not Kind.MEMO]
    paid = Q(debit__in=expenses, credit__in=money)
    back = Q(credit__in=expenses, debit__in=money)
    by_case = {row.case_id: row for row in rows}
    found = {row.pk: 0 for row in rows}
    moved = Transfer.objects.filter(paid | back, case__in=by_case).order_by("pk")
    for case, on, debit, cents in moved.values_list("case_id", "entry__on", "debit", "cents"):
        row = by_case[case]
        if on >= row.at.astimezone(row.program.zone).date():
            found[row.pk] += cents if debit in expenses else -cents
    return found


# ---- what follows from it ----


def decide_by(supplement: Supplement) -> dt.date:
    """Return the day by which both answers are given, two business days after it was asked."""
    asked = supplement.asked_at.astimezone(supplement.program.zone).date()
    return add_business_days(asked, DECIDE_DAYS)


def stops(intakes: Iterable[int]) -> dict[int, Problem]:
    """Return, by stay, why nobody may go on with its repair; the rest are left out.

    Custody asks for it by `settings.WORK_STOPS` whenever it says what may be done with a car.
    """
    return {
        pk: Problem(one.forecast.sentence, ASK, where=STOPPED)
        for pk, one in works(intakes).items()
        if one.forecast.stops
    }


def against_repair(stay: Intake) -> list[str]:
    """Return what stands against the repair of a stay today, but for its authorization."""
    found = next(one for one in authority(stay, stay.program.today()) if one.act == Act.REPAIR)
    return [
        f"{one.sentence} {one.remedy}".strip()
        for one in found.problems
        if one.level == "blocker" and one.where != STOPPED
    ]


# ---- who may see what ----


def cases_for(user: User) -> QuerySet[Case]:
    """Return the cases of the user's program that no tie withholds from them, with their car."""
    rows = Case.objects.for_user(user).filter(vehicle__isnull=False)
    return rows.exclude(vehicle__withheld_from=user).select_related("vehicle", "program")


def case_of_stay(stay: Intake, user: User) -> Case | None:
    """Return the case of a stay's car that the user may see: the open one, else the newest."""
    rows = cases_for(user).filter(vehicle=stay.vehicle_id)
    return rows.order_by(F("closed_on").desc(nulls_first=True), "-opened_on", "-pk").first()


def supplements_for(user: User) -> QuerySet[Supplement]:
    """Return the supplements to the cars that the user may see."""
    return Supplement.objects.filter(authorization__case__in=cases_for(user)).select_related(
        *("authorization__case__household__address", "authorization__case__vehicle"),
        *("authorization__intake__program", "authorization__intake__standing"),
        *("authorization__intake__vehicle", "asked_by", "budget_by", "owner", "photo", "program"),
    )


def open_supplements(user: User) -> QuerySet[Supplement]:
    """Return the supplements that wait for an answer, oldest first."""
    return (
        supplements_for(user)
        .filter(state=SupplementState.ASKED, authorization__intake__left_on__isnull=True)
        .order_by("asked_at", "pk")
    )
