"""What the ledger refuses before an entry is written, and what it flags afterwards.

Choices are refused, facts are recorded: a new commitment beyond what is free is refused, a
check that bounced is booked and its fund flagged.

>>> from program.ledger.restrictions import Fund
>>> general = Fund(code="GEN", name="general fund")
>>> print(refuse_overdraft(general, 19433, 33433).sentence)
The general fund has $194.33 free. This needs $334.33: $140.00 more.
>>> refuse_overdraft(general, 33433, 33433) is None
True
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from program.ledger.chart import Account, Function, Kind, Role, with_role
from program.ledger.ledger import Balances, Transfer
from program.ledger.restrictions import Fund, Spend, allows, needs_two, refusal
from shared.dates import full_date
from shared.money import LIMIT_CENTS, usd
from shared.problems import Level, Problem
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

    from program.ledger.rules import Rule
    from shared.say import Say

FOR_ITEMS = ("systems", "jobs", "part_kinds")
MEMO_ROLES = (Role.COMMITMENT, Role.RESERVE)
RELEASE_ROLES = (Role.RELEASED_FROM, Role.RELEASED_TO)


def check_entry(
    transfers: Sequence[Transfer], chart: Mapping[str, Account], funds: Mapping[str, Fund]
) -> list[Problem]:
    """Return what stands against writing these transfers as one entry.

    Empty when nothing does. A problem's `where` is the transfer's number, from 1, or empty.
    """
    if not transfers:
        return [Problem(say("The entry is empty."), remedy=say("Add at least one line."))]
    found = _one_event(transfers)
    for number, transfer in enumerate(transfers, start=1):
        where = str(number)
        found += _amount(transfer, where)
        found += _accounts(transfer, chart, where)
        found += _fund(transfer, funds, frees=_frees(transfer, chart), where=where)
    return found or _moves(transfers, chart, funds)


def available(fund: str, held: Balances, chart: Mapping[str, Account]) -> int:
    """Return the fund's free cents: cash, less what it owes, less what is set aside."""
    return sum(cents for code, cents in held.accounts(fund).items() if chart[code].spendable)


def refuse_overdraft(fund: Fund, free: int, asked: int) -> Problem | None:
    """Return why `asked` cents can't be promised or paid from `free` cents, or None."""
    if free < 0:
        return Problem(
            say("The {fund} is {short} below zero.", fund=fund.name, short=usd(-free)),
            remedy=say("Cover it before anything new is promised from it."),
            where=fund.code,
        )
    if asked <= free:
        return None
    sentence = say(
        "The {fund} has {free} free. This needs {asked}: {more} more.",
        fund=fund.name,
        free=usd(free),
        asked=usd(asked),
        more=usd(asked - free),
    )
    remedy = say("Choose another fund, or a smaller amount.")
    return Problem(sentence, remedy=remedy, where=fund.code)


def refuse_spend(
    fund: Fund, others: Iterable[Fund], spend: Spend, *, case: bool, item: bool
) -> Problem | None:
    """Return why the rule of a fund bars a spend, or None.

    `case` and `item` say whether the line names them: what only they can show is asked for first.
    """
    shown = replace(fund, rule=_shown(fund.rule, case=case, item=item))
    if not allows(shown, spend):
        return refusal(shown, others, spend)
    broken = allows(fund, spend).reasons
    if not broken:
        return None
    sentence = say(
        "The {fund} can't pay this yet. {why}",
        fund=fund.name,
        why=broken[0],
    )
    if item or not any(getattr(fund.rule, name) for name in FOR_ITEMS):
        return Problem(sentence, remedy=say("Name the case."), where="case")
    remedy = say("Name the repair item.") if case else say("Name the case and its repair item.")
    return Problem(sentence, remedy=remedy, where="item" if case else "case")


def _shown(rule: Rule, *, case: bool, item: bool) -> Rule:
    """Return what of a rule can be looked at without the case or the item."""
    nothing: frozenset[str] = frozenset()
    if not item:
        rule = replace(rule, systems=nothing, jobs=nothing, part_kinds=nothing)
    return rule if case else replace(rule, counties=nothing, household_kinds=nothing)


def refuse_shut(month: date, *, by: str, on: date) -> Problem:
    """Return why nothing is booked in a month that `by` shut on the day `on`."""
    return Problem(
        say(
            "{month} was shut by {name} on {day}.",
            month=f"{month:%B %Y}",
            name=by,
            day=full_date(on),
        ),
        remedy=say(
            "Book it on a day of an open month, or have the month opened again with a reason."
        ),
        where="on",
    )


def why_two(purchases: Sequence[tuple[Fund, Spend]], limit_cents: int) -> Say | None:
    """Return why a second person is asked for: a fund's rule, or the program's own limit.

    `purchases` are what an entry buys, the lines of one fund added up.
    """
    for fund, spend in purchases:
        if why := needs_two(fund, spend):
            return why
    cents = sum(spend.cents for _, spend in purchases)
    if cents <= limit_cents:
        return None
    return say(
        "The program asks for two people over {over}. This is {cents}.",
        over=usd(limit_cents),
        cents=usd(cents),
    )


def is_purchase(transfer: Transfer, chart: Mapping[str, Account]) -> bool:
    """Return whether a transfer pays, or promises to pay, for something."""
    return bool(chart[transfer.debit].spend) and chart[transfer.credit].spendable


def check_functions(
    transfers: Sequence[Transfer], functions: Sequence[str], chart: Mapping[str, Account]
) -> list[Problem]:
    """Return a problem for each transfer whose function is unknown or which is no expense."""
    found = []
    for number, (one, function) in enumerate(zip(transfers, functions, strict=True), start=1):
        expense = Kind.EXPENSE in {chart[one.debit].kind, chart[one.credit].kind}
        if function and (not expense or function not in set(Function)):
            sentence = say("Only an expense has a function; line {n} is none.", n=number)
            remedy = say("Leave the function empty.")
            found.append(Problem(sentence, remedy=remedy, where=f"{number}.function"))
    return found


def overdrawn(funds: Iterable[Fund], held: Balances, chart: Mapping[str, Account]) -> list[Problem]:
    """Return a flag for each fund whose free money is below zero, by fund code."""
    flags = []
    for fund in sorted(funds, key=lambda fund: fund.code):
        free = available(fund.code, held, chart)
        if free < 0:
            sentence = say("The {fund} is {short} below zero.", fund=fund.name, short=usd(-free))
            remedy = say("Nothing new is promised from it until that is covered.")
            flags.append(Problem(sentence, remedy=remedy, level=Level.WARNING, where=fund.code))
    return flags


def commitment(
    fund: str, cents: int, *, entry: str, on: date, chart: Mapping[str, Account]
) -> Transfer:
    """Return the transfer that sets money aside in a fund; the same, reversed, frees it."""
    return Transfer(
        entry=entry,
        on=on,
        debit=with_role(chart, Role.COMMITMENT),
        credit=with_role(chart, Role.RESERVE),
        cents=cents,
        fund=fund,
    )


def reversal(transfer: Transfer, *, entry: str, on: date) -> Transfer:
    """Return the transfer that undoes another: the same cents, the other way."""
    return replace(transfer, entry=entry, on=on, debit=transfer.credit, credit=transfer.debit)


def _one_event(transfers: Sequence[Transfer]) -> list[Problem]:
    """Return what shows that these transfers aren't one event."""
    found = []
    if len({transfer.entry for transfer in transfers}) > 1:
        found.append(Problem(say("These lines belong to more than one entry.")))
    if len({transfer.on for transfer in transfers}) > 1:
        found.append(Problem(say("The lines of one entry have one day.")))
    return found


def _amount(transfer: Transfer, where: str) -> list[Problem]:
    """Return what is wrong with the cents."""
    if transfer.cents <= 0:
        sentence = say("{amount} can't be moved.", amount=usd(transfer.cents))
        remedy = say("Give an amount above zero; to move money back, swap the two accounts.")
        return [Problem(sentence, remedy=remedy, where=where)]
    if transfer.cents >= LIMIT_CENTS:
        sentence = say("{amount} is more than this ledger can hold.", amount=usd(transfer.cents))
        return [Problem(sentence, where=where)]
    return []


def _accounts(transfer: Transfer, chart: Mapping[str, Account], where: str) -> list[Problem]:
    """Return what is wrong with the two accounts."""
    unknown = [code for code in (transfer.debit, transfer.credit) if code not in chart]
    if unknown:
        remedy = say("Use a code from the chart of accounts.")
        return [
            Problem(say("There is no account {code}.", code=code), remedy=remedy, where=where)
            for code in dict.fromkeys(unknown)
        ]
    debit, credit = chart[transfer.debit], chart[transfer.credit]
    if debit == credit:
        sentence = say("Account {code} is on both sides.", code=debit.code)
        return [Problem(sentence, remedy=say("Give two different accounts."), where=where)]
    found = []
    if (debit.kind == Kind.MEMO) != (credit.kind == Kind.MEMO):
        sentence = say("Money set aside moves only between {pair}.", pair=_named(chart, MEMO_ROLES))
        found.append(Problem(sentence, where=where))
    if (debit.role in RELEASE_ROLES) != (credit.role in RELEASE_ROLES):
        sentence = say("A release moves only between {pair}.", pair=_named(chart, RELEASE_ROLES))
        found.append(Problem(sentence, where=where))
    return found


def _frees(transfer: Transfer, chart: Mapping[str, Account]) -> bool:
    """Return whether this only frees what was set aside: a fact, which a closed fund keeps too."""
    pair = (chart.get(transfer.debit), chart.get(transfer.credit))
    return [side and side.role for side in pair] == [Role.RESERVE, Role.COMMITMENT]


def _fund(
    transfer: Transfer, funds: Mapping[str, Fund], *, frees: bool, where: str
) -> list[Problem]:
    """Return what is wrong with the fund."""
    fund = funds.get(transfer.fund)
    if fund is None:
        sentence = say("There is no fund {code}.", code=transfer.fund)
        return [Problem(sentence, remedy=say("Use the code of a fund."), where=where)]
    if fund.closed_on and transfer.on >= fund.closed_on and not frees:
        sentence = say(
            "The {fund} was closed on {day}.", fund=fund.name, day=full_date(fund.closed_on)
        )
        return [Problem(sentence, remedy=say("Choose a fund that is open."), where=where)]
    return []


def _moves(
    transfers: Sequence[Transfer], chart: Mapping[str, Account], funds: Mapping[str, Fund]
) -> list[Problem]:
    """Return what is wrong with a move between funds, which nets to zero."""
    moved: Counter[str] = Counter()
    for transfer in transfers:
        moved[transfer.fund] += transfer.cents * (
            (chart[transfer.credit].role == Role.INTERFUND)
            - (chart[transfer.debit].role == Role.INTERFUND)
        )
    if moved.total():
        sentence = say("The move between funds is out by {out}.", out=usd(abs(moved.total())))
        return [Problem(sentence, remedy=say("What leaves one fund arrives in another."))]
    return [
        Problem(
            say("{out} would leave the {fund}.", out=usd(-cents), fund=funds[code].name),
            remedy=say("Restricted money is spent for its purpose; only its donor can free it."),
            level=Level.APPROVAL,
            where=code,
        )
        for code, cents in sorted(moved.items())
        if cents < 0 and funds[code].restricted
    ]


def _named(chart: Mapping[str, Account], roles: tuple[Role, Role]) -> str:
    """Return `9010 Commitments and 9020 Reserve for commitments`."""
    codes = (with_role(chart, role) for role in roles)
    return " and ".join(f"{code} {chart[code].name}" for code in codes)
