"""Grants, costs and claims for tests: every default is valid."""

from __future__ import annotations

import uuid
from datetime import date
from typing import TYPE_CHECKING, Any

from program.grants.actions import draft_claim, send_claim
from program.grants.answering import pay_claim, refuse_part
from program.grants.claiming import Cost, Terms
from program.grants.queries import Answered, answered
from program.grants.writing import Award, add_grant
from program.ledger.restrictions import Fund as PureFund
from program.ledger.restrictions import Spend, parse
from program.models import Claim, Entry, Fund, Grant, Transfer
from shared.accounts.roles import RoleKind
from tests.factories import make_fund, make_program, make_user
from tests.factories.shared import numbers

if TYPE_CHECKING:
    from program.models import Case

OCTOBER, NOVEMBER = date(2026, 10, 31), date(2026, 11, 30)


def make_terms(**fields: Any) -> Terms:
    """Return an award of $500.00 for the last quarter of 2026, paid after, without a rule."""
    rule = parse(fields.pop("rule", {}))
    defaults: dict[str, Any] = {
        "cents": 50_000,
        "fund": PureFund(code="COM", name="commuter grant", restricted=True, rule=rule),
        "fund_id": 9,
        "begins_on": date(2026, 10, 1),
        "ends_on": date(2026, 12, 31),
    }
    return Terms(**defaults | fields)


def make_cost(id_: int = 1, cents: int = 10_000, **fields: Any) -> Cost:
    """Return a cost of parts, paid from fund 1 on October 9."""
    on = fields.get("on", date(2026, 10, 9))
    spend = Spend(what="front pads", on=on, cents=abs(cents), system="brakes", county="Orrin")
    defaults: dict[str, Any] = {
        "id": id_,
        "entry": id_,
        "on": on,
        "account": "6010",
        "fund": 1,
        "cents": cents,
        "case": "26-041",
        "spends": (spend,),
    }
    return Cost(**defaults | fields)


def award(**fields: Any) -> Award:
    """Return an award of $500.00 for the last quarter of 2026, claimed each month."""
    defaults: dict[str, Any] = {
        "funder": "Orrin County",
        "number": "OC-117",
        "cents": 50_000,
        "pays": "after",
        "own_percent": 0,
        "accounts": [],
        "cycle": "monthly",
        "due_days": 20,
        "begins_on": date(2026, 10, 1),
        "ends_on": date(2026, 12, 31),
        "terms": "",
    }
    return Award(**defaults | fields)


def make_grant(fund: Fund | None = None, **fields: Any) -> Grant:
    """Return a grant on a restricted fund of its own."""
    fund = fund or make_fund(code="COM", name="commuter grant", restricted=True)
    return add_grant(
        program=fund.program,
        award=award(**fields),
        fund=fund,
        fund_code="",
        fund_name="",
        client_key=uuid.uuid4(),
        by=make_user(RoleKind.TREASURER, program=fund.program),
    )


def spent(
    fund: Fund, cents: int, on: date = date(2026, 10, 9), *, case: Case | None = None, **fields: Any
) -> Transfer:
    """Return the transfer of a cost that was paid from a fund."""
    entry = Entry.objects.create(
        program=fund.program,
        key=f"spent:{next(numbers)}",
        on=on,
        what=fields.pop("what", "Front pads"),
        reverses=fields.pop("reverses", None),
    )
    sides = {"debit": "6010", "credit": "1010"} | fields
    return Transfer.objects.create(
        program=fund.program, entry=entry, cents=cents, fund=fund, case=case, **sides
    )


def general(cents: int = 100_000) -> Fund:
    """Return the general fund with money in it."""
    fund = make_fund(code="GEN", name="general fund")
    spent(fund, cents, date(2026, 1, 2), debit="1010", credit="4010", what="Gifts")
    return fund


def begun(grant: Grant, until_on: date = OCTOBER) -> Claim:
    """Return the draft of a cycle."""
    return draft_claim(grant=grant, until_on=until_on, by=treasurer())


def sent(grant: Grant, until_on: date = OCTOBER, on: date = NOVEMBER) -> Claim:
    """Return a claim that was sent on the last day of November."""
    claim = begun(grant, until_on)
    return send_claim(claim=claim, version=claim.version, on=on, by=treasurer())


def paid(claim: Claim, cents: int | None = None, on: date = NOVEMBER) -> Claim:
    """Return a claim of which the funder paid an amount, the whole without one."""
    cents = claim.cents if cents is None else cents
    return pay_claim(claim=claim, version=claim.version, on=on, cents=cents, by=treasurer())


def refused(claim: Claim, cents: int, on: date = NOVEMBER, **fields: Any) -> Claim:
    """Return a claim of which the funder refused an amount."""
    given = {"reason": "No receipt.", "version": claim.version, "by": treasurer()} | fields
    return refuse_part(claim=claim, on=on, cents=cents, **given)


def treasurer() -> Any:
    """Return somebody who keeps the books."""
    return make_user(RoleKind.TREASURER, program=make_program())


def booked(entry: Entry | None) -> list[tuple[str, str, int, str]]:
    """Return an entry's transfers as (debit, credit, cents, fund code)."""
    assert entry is not None
    rows = entry.transfers.order_by("fund__code", "pk")
    return list(rows.values_list("debit", "credit", "cents", "fund__code"))


def claim_of(*cents: int, **fields: Any) -> Claim:
    """Return a claim of these costs of the general fund, sent on November 3."""
    fund = general()
    for one in cents:
        spent(fund, one)
    return sent(make_grant(**fields), on=date(2026, 11, 3))


def told(claim: Claim) -> Answered:
    """Return what the funder answered of a claim."""
    return answered([claim]).get(claim.pk, Answered())


def nothing_changed(claim: Claim) -> bool:
    """Return whether nothing was booked of an answer, and the claim is as it was."""
    found = Claim.objects.get(pk=claim.pk)
    entries = Entry.objects.filter(key__startswith="claim-").exists()
    return not entries and (found.state, found.version) == (claim.state, claim.version)
