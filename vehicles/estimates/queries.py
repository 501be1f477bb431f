"""Prices of a need or an item, and the jobs that are done, read for pages and pure modules."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shared.say import say
from vehicles.estimates.actuals import Job
from vehicles.repairs.ages import Aged, aged, taken
from vehicles.repairs.models import Need, RepairItem
from vehicles.repairs.parts import PartCondition
from vehicles.repairs.queries import asks_cost, bought
from vehicles.repairs.states import ItemState, NeedState
from vehicles.repairs.substitutes import POLICY, verdict
from vehicles.repairs.suitability import Answer
from vehicles.shop.systems import System

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

    from django.db.models import QuerySet

    from shared.accounts.models import Program
    from shared.say import Say
    from vehicles.estimates.models import Quote
    from vehicles.repairs.ages import Worn
    from vehicles.repairs.suitability import Fit

DAYS_A_YEAR = 365


def is_open(about: Need | RepairItem) -> bool:
    """Return whether a price may still be asked for it: open, and its stay not ended."""
    if isinstance(about, Need):
        return about.state == NeedState.OPEN and not about.item.intake.left_on
    return about.state == ItemState.OPEN and not about.intake.left_on


def fit_of(need: Need, condition: str) -> Fit:
    """Return whether such a part may be of a condition, by the rule for parts of its kind."""
    return verdict(need.kind, System(need.system), PartCondition(condition)).fit


def refusal_of(need: Need, condition: str) -> Say | None:
    """Return why this need takes no part of a condition, or None where it does."""
    fit = fit_of(need, condition)
    if fit.answer is Answer.DOES_NOT_FIT:
        return fit.reason
    if condition != PartCondition.NEW and need.may_be and condition not in need.may_be:
        taken = ", ".join(["new", *(one for one in need.may_be if one != PartCondition.NEW)])
        return say("Somebody decided that this one is taken only {taken}.", taken=taken)
    return None


def is_read(quote: Quote) -> bool:
    """Return whether it prices a used part whose tread or date decides whether it may be used."""
    used = quote.condition == PartCondition.USED
    return used and quote.need is not None and aged(quote.need.kind) is not None


def may_be_used(quote: Quote, worn: Worn) -> Say | None:
    """Return why a used tire or battery may be used, and by whose rule; None for another price."""
    if quote.need is None or not is_read(quote):
        return None
    why = taken(quote.need.kind, worn, quote.need.program.today())
    return say("It may be used. {why} Rule from: {source}.", why=why, source=POLICY)


@dataclass(frozen=True, kw_only=True)
class Conditions:
    """Which conditions a need takes, and why not the others, each in a sentence."""

    taken: tuple[PartCondition, ...]
    refused: tuple[Say, ...]


def conditions_of(need: Need) -> Conditions:
    """Return which conditions a need takes, and the sentence of each that it doesn't."""
    reasons = {one: refusal_of(need, one) for one in PartCondition}
    return Conditions(
        taken=tuple(one for one, reason in reasons.items() if reason is None),
        refused=tuple(dict.fromkeys(reason for reason in reasons.values() if reason)),
    )


@dataclass(frozen=True, kw_only=True)
class Price:
    """One price as the page shows it, beside what the estimate likely counts."""

    quote: Quote
    days: int
    has_run_out: bool
    against_cents: int | None
    caution: Say | None
    is_oldest: bool

    @property
    def dearer_cents(self) -> int:
        """How much it is above what the estimate counts; 0 where it isn't."""
        return max(self.against_cents or 0, 0)

    @property
    def cheaper_cents(self) -> int:
        """How much it is below what the estimate counts; 0 where it isn't."""
        return max(-(self.against_cents or 0), 0)

    @property
    def may_be_chosen(self) -> bool:
        """Whether the estimate may count with it from now on."""
        quote = self.quote
        return not (self.has_run_out or quote.withdrawn_because or quote.chosen_at)


def prices_of(about: Need | RepairItem, today: dt.date) -> list[Price]:
    """Return the prices of a need or an item, the lowest first and withdrawn ones last.

    The papers themselves are not read. Of several that count, the oldest says so.
    """
    rows = list(about.quotes.defer("paper").select_related("made_by", "chosen_by"))
    live = [row.quoted_on for row in rows if not row.withdrawn_because]
    oldest = min(live) if len(set(live)) > 1 else None
    likely = about.price_cents if isinstance(about, Need) else about.sublet_cents or None
    found = [
        Price(
            quote=row,
            days=max((today - row.quoted_on).days, 0),
            has_run_out=bool(row.good_until_on and row.good_until_on < today),
            against_cents=None if likely is None else row.cents - likely,
            caution=_caution(row),
            is_oldest=row.quoted_on == oldest and not row.withdrawn_because,
        )
        for row in rows
    ]
    return sorted(found, key=lambda one: (bool(one.quote.withdrawn_because), one.quote.cents))


def _caution(quote: Quote) -> Say | None:
    """Return what is looked at before such a part is fitted, where the rule says ask."""
    if quote.need is None or quote.condition == PartCondition.NEW:
        return None
    if is_read(quote):
        is_battery = aged(quote.need.kind) is Aged.BATTERY
        return say("Test it under load before it is fitted.") if is_battery else None
    fit = fit_of(quote.need, quote.condition)
    return fit.reason if fit.answer is Answer.ASK else None


def done_items(program: Program) -> QuerySet[RepairItem]:
    """Return the items that are done, newest first, with their needs: two queries in all."""
    rows = RepairItem.objects.filter(program=program, state=ItemState.DONE)
    return (
        rows.select_related("intake__vehicle").prefetch_related("needs").order_by("-done_on", "-pk")
    )


def labor_job(item: RepairItem) -> Job | None:
    """Return the labor of a job that is done, or None where its minutes are not on record."""
    if item.took_minutes is None:
        return None
    return Job(
        id=item.pk,
        title=item.title,
        system=System(item.system),
        low=item.labor_low_minutes,
        likely=item.labor_likely_minutes,
        high=item.labor_high_minutes,
        actual=item.took_minutes,
    )


def cash_job(item: RepairItem) -> Job | None:
    """Return the parts and work elsewhere of a job, or None where its cost is not on record.

    Parts that were given are left out of both sides; the points are before any correction.
    """
    if item.cost_cents is None:
        return None
    low = likely = high = item.sublet_cents
    for need in bought(item):
        price = need.price_cents or 0
        low += need.quantity * (price if need.price_low_cents is None else need.price_low_cents)
        likely += need.quantity * price
        high += need.quantity * (price if need.price_high_cents is None else need.price_high_cents)
    return Job(
        id=item.pk,
        title=item.title,
        system=System(item.system),
        low=low,
        likely=likely,
        high=high,
        actual=item.cost_cents,
    )


def past_cars(items: Iterable[RepairItem], cents_per_hour: int) -> list[int]:
    """Return what each stay that has ended did cost: its paid labor, parts and work elsewhere.

    A stay counts once all of its items that are done have what they took on record.
    """
    known: dict[int, int] = {}
    unknown: set[int] = set()
    for item in items:
        if not item.intake.left_on:
            continue
        if item.took_minutes is None or (asks_cost(item) and item.cost_cents is None):
            unknown.add(item.intake_id)
            continue
        labor = -(-item.took_minutes * cents_per_hour // 60)
        known[item.intake_id] = known.get(item.intake_id, 0) + labor + (item.cost_cents or 0)
    return [cents for stay, cents in sorted(known.items()) if stay not in unknown]
