"""What a grant may be claimed for: which costs it allows, the funder's share, what would lapse.

Amounts are whole cents. A credit on an expense account (money that came back) has cents below zero.
Source: ASC 958-605-25-5A to 5F (text seen): an award on allowed cost is conditional, and is revenue
as such cost is incurred.

>>> from datetime import date
>>> share([Cost(id=1, entry=1, on=date(2026, 11, 3), account="6010", fund=7, cents=10001)], 25)
Share(total=10001, cents=7500, beyond=0, by_fund=((7, 7500),))
>>> matched(60_000, 25)
20000
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.ledger.chart import Kind, Role, load
from program.ledger.restrictions import allows
from shared.dates import full_date
from shared.money import share_out
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence
    from datetime import date

    from program.ledger.chart import Account
    from program.ledger.restrictions import Fund, Spend

HUNDRED = 100


@dataclass(frozen=True, kw_only=True)
class Terms:
    """What an award says: with `ahead` its money lies in `fund`, whose rule says what it pays for.

    `accounts` narrows what it allows to these cost accounts; empty, it allows every one.
    """

    cents: int
    fund: Fund
    fund_id: int
    begins_on: date
    ends_on: date
    ahead: bool = False
    own_percent: int = 0
    accounts: frozenset[str] = frozenset()


@dataclass(frozen=True, kw_only=True)
class Cost:
    """The cost side of one transfer. `id` is the transfer's, `entry` and `reverses` are entries'.

    `claimed` says that it stands in a claim that was sent. `restricted` is the name of the fund
    that paid, where that fund has a donor restriction. `refused_in` is the number of the claim in
    which this funder refused it. A fund has to allow each of `spends`. The words `what`, `case`
    (its number) and `paid_from` are for people.
    """

    id: int
    entry: int
    on: date
    account: str
    fund: int
    cents: int
    restricted: str = ""
    reverses: int | None = None
    claimed: bool = False
    refused_in: int | None = None
    spends: tuple[Spend, ...] = ()
    what: str = ""
    case: str = ""
    paid_from: str = ""


@dataclass(frozen=True, kw_only=True)
class Share:
    """The funder's share of some costs: `cents` of `total`, by fund in the order of their ids.

    `beyond` is what the award no longer holds of that share.
    """

    total: int
    cents: int
    beyond: int
    by_fund: tuple[tuple[int, int], ...]

    @property
    def own(self) -> int:
        """The part of the costs that the funder does not pay."""
        return self.total - self.cents


def cost_accounts(chart: Mapping[str, Account]) -> list[str]:
    """Return the accounts whose cost is paid with money: not in-kind expense, not depreciation."""
    return [
        code
        for code, account in chart.items()
        if account.kind == Kind.EXPENSE and account.spend and account.role != Role.IN_KIND
    ]


def account_name(code: str) -> str:
    """Return `6010 Parts bought`."""
    return f"{code} {load()[code].name}"


def cost_side(
    debit: str, credit: str, cents: int, allowed: Collection[str]
) -> tuple[str, int] | None:
    """Return which allowed account a transfer adds to or takes from, and the cents; None for none.

    A move of cost between two allowed accounts adds nothing.

    >>> cost_side("6010", "1010", 500, ["6010"]), cost_side("1010", "6010", 500, ["6010"])
    (('6010', 500), ('6010', -500))
    """
    if (debit in allowed) == (credit in allowed):
        return None
    return (debit, cents) if debit in allowed else (credit, -cents)


def net(costs: Iterable[Cost], reversed_by: Mapping[int, int]) -> list[Cost]:
    """Return the costs that stand and are not claimed, reversals set against what they reverse.

    A reversed cost is gone with its reversal. Where it was claimed before, its reversal stays, as a
    credit that is owed back. `reversed_by` maps entries to the entry that reverses them; a reversal
    that was itself reversed undoes nothing.
    """
    rows = list(costs)
    owed = Counter(_pair(row.entry, row, row.cents) for row in rows if row.claimed)
    found = []
    for row in rows:
        if row.claimed or not _stands(row.entry, reversed_by):
            continue
        if row.reverses is not None:
            pair = _pair(row.reverses, row, -row.cents)
            if not owed[pair]:
                continue
            owed[pair] -= 1
        found.append(row)
    return found


def _pair(entry: int, row: Cost, cents: int) -> tuple[int, str, int, int]:
    return entry, row.account, row.fund, cents


def _stands(entry: int, reversed_by: Mapping[int, int]) -> bool:
    """Return whether an entry counts: it is not reversed, or its reversal was reversed."""
    steps = 0
    while entry in reversed_by:
        entry, steps = reversed_by[entry], steps + 1
    return steps % 2 == 0


def stands_in_the_way(terms: Terms, cost: Cost) -> Say | None:
    """Return why a cost can't be claimed, or None where the grant allows it.

    The reversal of a claimed cost is always allowed: it is owed back, whatever its day. Money that
    came ahead was held to its fund's rule when it was spent, and isn't again. What the funder
    refused is not claimed from it once more: another grant may pay for it.
    """
    if cost.reverses is not None:
        return None
    if cost.refused_in is not None:
        return say("The funder refused it in claim {number}.", number=cost.refused_in)
    found = _other_money(terms, cost) or _out_of_terms(terms, cost)
    return found if found or terms.ahead else _barred(terms, cost)


def _barred(terms: Terms, cost: Cost) -> Say | None:
    """Return why the rule of the grant's fund stands against the cost."""
    answers = (allows(terms.fund, spend) for spend in cost.spends)
    reason = next((reason for answer in answers for reason in answer.reasons), None)
    rule = terms.fund.rule
    if reason and not cost.case and (rule.counties or rule.household_kinds):
        return say("No case is named, so nobody knows whether the household is one it pays for.")
    return reason


def _other_money(terms: Terms, cost: Cost) -> Say | None:
    """Return why money of another fund stands against the cost."""
    if terms.ahead and cost.fund != terms.fund_id:
        return say("Another fund paid it; this grant's money lies in its own.")
    if not terms.ahead and cost.restricted:
        return say("The {fund} paid it: no cost is paid twice.", fund=cost.restricted)
    return None


def _out_of_terms(terms: Terms, cost: Cost) -> Say | None:
    """Return why the account or the day stands against the cost."""
    if terms.accounts and cost.account not in terms.accounts:
        return say("The grant does not allow {account}.", account=account_name(cost.account))
    if cost.on < terms.begins_on:
        return say("The grant begins on {day}.", day=full_date(terms.begins_on))
    if cost.on > terms.ends_on:
        return say("The grant ended on {day}.", day=full_date(terms.ends_on))
    return None


def sorted_out(terms: Terms, costs: Iterable[Cost]) -> tuple[list[Cost], list[tuple[Cost, Say]]]:
    """Return the costs that the grant allows, and the others with why not; each by day and id."""
    allowed, others = [], []
    for cost in sorted(costs, key=lambda cost: (cost.on, cost.id)):
        reason = stands_in_the_way(terms, cost)
        if reason is None:
            allowed.append(cost)
        else:
            others.append((cost, reason))
    return allowed, others


def until(costs: Iterable[Cost], until_on: date) -> list[Cost]:
    """Return what a claim up to that day takes: also what an earlier one left, and what is owed."""
    return [cost for cost in costs if cost.on <= until_on or cost.reverses is not None]


def share(costs: Sequence[Cost], own_percent: int, remainder: int | None = None) -> Share:
    """Return the funder's share of the costs, never more than the award's remainder.

    A part of a cent stays with us. The cents go to the funds by largest remainder, ties to the
    lower id, so that they add up to the claim exactly.

    Raises:
        ValueError: in some fund more came back than was spent.
    """
    weights: Counter[int] = Counter()
    for cost in costs:
        weights[cost.fund] += cost.cents
    if any(cents < 0 for cents in weights.values()):
        raise ValueError("In one fund more came back than was spent. Claim it with later costs.")
    total = weights.total()
    whole = total * (HUNDRED - own_percent) // HUNDRED
    cents = whole if remainder is None else min(whole, max(remainder, 0))
    funds = sorted(weights)
    parts = share_out(cents, [weights[fund] for fund in funds])
    return Share(
        total=total,
        cents=cents,
        beyond=whole - cents,
        by_fund=tuple((fund, part) for fund, part in zip(funds, parts, strict=True) if part),
    )


def split_open(cents: int, open_by_fund: Mapping[int, int]) -> dict[int, int]:
    """Return which part of an answer falls on each fund of a claim, by what is open in it.

    Largest remainder, ties to the lower id; no fund gets more than is open in it.

    >>> split_open(50_01, {1: 75_00, 2: 25_00})
    {1: 3751, 2: 1250}

    Raises:
        ValueError: less is open.
    """
    if cents > sum(open_by_fund.values()):
        raise ValueError("No more can be answered than is open.")
    funds = sorted(open_by_fund)
    parts = share_out(cents, [open_by_fund[fund] for fund in funds])
    return {fund: part for fund, part in zip(funds, parts, strict=True) if part}


def is_carried(asked: int, costs: Iterable[int], own_percent: int) -> bool:
    """Return whether the funder's part of these costs carries what is still asked of it.

    Where it doesn't, a cost that left the claim would be paid here and claimed elsewhere too.
    """
    return asked <= funder_part(sum(costs), own_percent)


def funder_part(cents: int, own_percent: int) -> int:
    """Return the funder's part of an amount, a part of a cent left to us."""
    return cents * (HUNDRED - own_percent) // HUNDRED


def matched(claimed: int, own_percent: int) -> int:
    """Return the own share that goes with a claim of so many cents, rounded up."""
    return -(-claimed * own_percent // (HUNDRED - own_percent))
