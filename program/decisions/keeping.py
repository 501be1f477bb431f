"""What an agreed supplement costs is set aside, and is free again once its work is dropped."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction

from program.decisions.states import SupplementState
from program.ledger.actions import Event, SetAside, release, set_aside
from program.ledger.models import Commitment, Fund
from program.ledger.queries import standing_commitments
from program.planning.payments import pay
from program.planning.queries import Payable, plan_funds, set_aside_by_item
from shared.accounts.models import Program
from shared.money import usd
from shared.policy.queries import policies
from shared.say import Say, say
from vehicles.repairs.models import EstimateLine, RepairItem
from vehicles.repairs.queries import with_work
from vehicles.repairs.states import ItemState

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from program.decisions.models import Supplement
    from program.planning.plan import Payment
    from program.planning.problem import Fund as PlanFund
    from shared.accounts.models import User
    from vehicles.repairs.models import Estimate

__all__ = ["free_item", "money_in_words", "payments_for", "set_aside_for"]


def money_in_words(row: Supplement, estimate: Estimate | None) -> list[Say]:
    """Return which money a supplement has, or would have once both say yes, in sentences."""
    rows = Commitment.objects.filter(program=row.program_id, cause=_cause(row))
    if found := list(rows.select_related("fund", "released_by")):
        return [_aside(one) for one in found]
    if row.state != SupplementState.ASKED or estimate is None:
        return []
    try:
        payments = payments_for(row, estimate)
    except ValidationError as refusal:
        return [Say(sentence) for sentence in refusal.messages]
    funds: dict[str, int] = {}
    for one in payments:
        funds[one.fund_id] = funds.get(one.fund_id, 0) + one.cents
    names = dict(Fund.objects.filter(program=row.program_id).values_list("code", "name"))
    return [
        say("The {fund} would pay {amount}.", fund=names[code], amount=usd(cents))
        for code, cents in sorted(funds.items())
    ]


def _aside(one: Commitment) -> Say:
    values = {"amount": usd(one.cents), "fund": one.fund.name}
    if one.released_by:
        return say(
            "{amount} of the {fund} was set aside. {freed}.", freed=one.released_by.what, **values
        )
    return say("{amount} of the {fund} is set aside.", **values)


def _cause(row: Supplement) -> str:
    return f"supplement:{row.pk}"


def payments_for(row: Supplement, estimate: Estimate) -> tuple[Payment, ...]:
    """Return which fund would pay what of a supplement, in the order in which a plan pays.

    What an earlier plan set aside for the same work counts. Nothing is kept back beside it but the
    program's floor: it is for supplements that a plan keeps its reserve.

    Raises:
        ValidationError: the funds that may pay for the work don't hold enough.
    """
    bills = _bills(row, estimate)
    funds = _funds(row, bills)
    paid = pay({str(pk): cents for pk, cents in bills.items()}, funds, reserve_percent=0)
    if paid is not None:
        return paid
    there = sum(
        fund.spendable_cents(0) for fund in funds if any(fund.may_pay(str(pk)) for pk in bills)
    )
    raise ValidationError(
        f"There is no money for this: it needs {usd(sum(bills.values()))}, and the funds that may "
        f"pay for the work have {usd(there)} to give. Find the rest first, or decline it."
    )


def _bills(row: Supplement, estimate: Estimate) -> dict[int, int]:
    """Return by item what is to be set aside, the work asked for first.

    An item takes what it costs beyond the newest frozen estimate and beyond what is set aside for
    it; all of them no more than what goes beyond the authorization.
    """
    asked = set(row.items.values_list("pk", flat=True))
    lines = list(estimate.lines.filter(item__state=ItemState.OPEN))
    counted, aside = _counted(row), set_aside_by_item(row.program)
    left, bills = row.cents, {}
    for line in sorted(lines, key=lambda line: (line.item_id not in asked, line.item_id)):
        more = line.p80_cents - max(counted.get(line.item_id, 0), aside.get(line.item_id, 0))
        cents = min(left, max(more, 0))
        if cents:
            bills[line.item_id] = cents
            left -= cents
    return bills


def _counted(row: Supplement) -> dict[int, int]:
    """Return what the newest frozen estimate counted for each item."""
    lines = EstimateLine.objects.filter(
        estimate__intake=row.authorization.intake_id, estimate__frozen_at__isnull=False
    )
    return dict(lines.order_by("estimate__number").values_list("item_id", "p80_cents"))


def _funds(row: Supplement, items: Collection[int]) -> list[PlanFund]:
    """Return the open funds with what each may give for these items today."""
    today, case = row.program.today(), row.authorization.case
    payable = Payable(
        first_on=today,
        last_on=today,
        floor_cents=policies(row.program, today)["reserve_floor_cents"],
        work=[(case, one) for one in with_work(RepairItem.objects.filter(pk__in=items))],
    )
    return list(plan_funds(row.program, payable))


@transaction.atomic
def set_aside_for(*, row: Supplement, estimate: Estimate, by: User) -> None:
    """Commit what a supplement costs; a fund that pays more for an item gets one new row.

    Raises:
        ValidationError: as `payments_for`.
    """
    # Locks the books before looking, as each entry does: two people may not spend the same dollar.
    Program.objects.select_for_update(no_key=True).get(pk=row.program_id)
    new = {(int(one.item_id), one.fund_id): one.cents for one in payments_for(row, estimate)}
    standing = standing_commitments(row.program).filter(item_id__in=[pk for pk, _ in new])
    renewed = [one for one in standing if (one.item_id, one.fund.code) in new]
    for one in renewed:
        new[one.item_id, one.fund.code] += one.cents
    today = row.program.today()
    key, name = _cause(row), f"supplement {row.number}, {row.authorization.case.number}"
    event = Event(key=f"{key}:freed", on=today, what=f"Freed for {name}")
    release(program=row.program, event=event, commitments=renewed, by=by)
    event = Event(key=key, on=today, what=f"Set aside by {name}")
    set_aside(program=row.program, event=event, rows=_rows(row, new), by=by)


def _rows(row: Supplement, new: dict[tuple[int, str], int]) -> list[SetAside]:
    funds = {one.code: one for one in Fund.objects.filter(program_id=row.program_id)}
    case = row.authorization.case
    return [
        SetAside(fund=funds[code], case=case, item_id=item, cents=cents)
        for (item, code), cents in sorted(new.items())
    ]


def free_item(item: RepairItem, by: User) -> None:
    """Free what is set aside for an item that is not to be done any more.

    The repairs ask for it by `settings.WORK_DROPPED` when somebody takes work off the list.
    """
    standing: Iterable[Commitment] = standing_commitments(item.program).filter(item_id=item.pk)
    event = Event(
        key=f"withdrawn:{item.pk}",
        on=item.program.today(),
        what=f"Freed: “{item.title}” is not to be done",
    )
    release(program=item.program, event=event, commitments=standing, by=by)
