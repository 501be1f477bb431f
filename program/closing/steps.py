"""What the books say to each line of a month's closing list, and when a month may be shut.

A person ticks each line, also where the books look right: the program sees what was booked, never
what was forgotten. Source: common practice, no source.

>>> from datetime import date
>>> str(look_at_cores(-500).sentence)
'Core deposits stand at −$5.00: more came back than was paid.'
>>> [str(one.sentence) for one in in_the_way(month=date(2026, 11, 1), today=date(2026, 11, 30))]
['November 2026 is not over: its last day is Monday, November 30.']
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from program.closing.kinds import StepKind
from program.ledger.fiscal import last_of
from shared.dates import long_date
from shared.money import usd
from shared.problems import Problem
from shared.say import Say, say

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Iterable, Mapping, Sequence

TITLES: Final = {
    StepKind.BANK: "Bank",
    StepKind.PAYABLES: "Bills and card to pay",
    StepKind.CORES: "Core deposits",
    StepKind.SHELF: "Shelf count",
    StepKind.CLAIMS: "Claims and reports",
    StepKind.RELEASES: "Releases from restriction",
    StepKind.ACCRUALS: "What was not billed yet",
}
ASKED: Final = {
    StepKind.BANK: "Is each statement reconciled to the last day of the month?",
    StepKind.PAYABLES: "Does the list of open bills and the card’s statement add up to this?",
    StepKind.CORES: "Does each deposit still wait for an old part that can go back?",
    StepKind.SHELF: "Is what the books hold still on the shelf?",
    StepKind.CLAIMS: "Is each claim and report sent that was due?",
    StepKind.RELEASES: "Was each restricted cent that was spent for its purpose released?",
    StepKind.ACCRUALS: "Are rent, power, pay and fees of this month booked, billed or not?",
}


class Looks(StrEnum):
    """How a line looks to the books; `person`: only a person can know."""

    RIGHT = "right"
    WRONG = "wrong"
    PERSON = "person"
    NOTHING = "nothing"


@dataclass(frozen=True, kw_only=True)
class Look:
    """What the books say to one line, and the accounts its figures are of."""

    kind: StepKind
    looks: Looks
    sentence: Say
    details: tuple[Say, ...] = ()
    accounts: tuple[tuple[str, int], ...] = ()


class MonthState(StrEnum):
    """How a month of the books stands."""

    SHUT = "shut"
    READY = "ready"
    OPEN = "open"
    AHEAD = "ahead"
    EMPTY = "empty"

    @property
    def label(self) -> str:
        """The state as a table writes it."""
        return _STATES[self]


_STATES: Final = {
    MonthState.SHUT: "shut",
    MonthState.READY: "ready to shut",
    MonthState.OPEN: "open",
    MonthState.AHEAD: "not over",
    MonthState.EMPTY: "nothing booked",
}


def named(month: dt.date) -> str:
    """Return a month as a sentence names it, such as `November 2026`."""
    return f"{month:%B} {month.year}"


# ---- what the books say ----


def look_at_payables(bills: int, card: int) -> Look:
    """Return what is owed at the month's end, debit positive as balances are."""
    accounts = (("2010", bills), ("2020", card))
    if max(bills, card) > 0:
        return Look(
            kind=StepKind.PAYABLES,
            looks=Looks.WRONG,
            sentence=say("More was paid than was owed: {amount}.", amount=usd(max(bills, card))),
            accounts=accounts,
        )
    owed = say("Owed: {bills} of bills, {card} on the card.", bills=usd(-bills), card=usd(-card))
    if not bills and not card:
        owed = say("Nothing is owed, by the books.")
    return Look(kind=StepKind.PAYABLES, looks=Looks.RIGHT, sentence=owed, accounts=accounts)


def look_at_cores(cents: int) -> Look:
    """Return what stands out in deposits on old parts."""
    if cents < 0:
        sentence = say(
            "Core deposits stand at {amount}: more came back than was paid.", amount=usd(cents)
        )
    elif cents:
        sentence = say("{amount} of core deposits should come back.", amount=usd(cents))
    else:
        sentence = say("No core deposit is out.")
    looks = Looks.WRONG if cents < 0 else Looks.RIGHT
    return Look(kind=StepKind.CORES, looks=looks, sentence=sentence, accounts=(("1230", cents),))


def look_at_shelf(given: int, bought: int) -> Look:
    """Return what the books hold on the shelf; nothing counts it yet."""
    return Look(
        kind=StepKind.SHELF,
        looks=Looks.WRONG if min(given, bought) < 0 else Looks.NOTHING,
        sentence=say("Compare a count on paper with the books: nobody keeps the shelf here yet."),
        accounts=(("1210", given), ("1220", bought)),
    )


def look_at_claims(due: Sequence[Say]) -> Look:
    """Return the claims and reports that were due by the month's end and are not sent."""
    sentence = say("No claim or report is due.")
    if due:
        sentence = say("Due and not sent: {count}.", count=len(due))
    looks = Looks.WRONG if due else Looks.RIGHT
    return Look(kind=StepKind.CLAIMS, looks=looks, sentence=sentence, details=tuple(due))


def look_at_releases(left: Mapping[str, int]) -> Look:
    """Return what restricted funds, by name, spent in the month and nobody released."""
    details = tuple(
        say("{fund}: {amount} spent and not released.", fund=fund, amount=usd(cents))
        if cents > 0
        else say("{fund}: {amount} released and not spent.", fund=fund, amount=usd(-cents))
        for fund, cents in sorted(left.items())
    )
    sentence = say("What restricted funds spent in the month was released to the cent.")
    if details:
        sentence = say("Spending and releases differ in funds: {count}.", count=len(details))
    looks = Looks.WRONG if details else Looks.RIGHT
    return Look(kind=StepKind.RELEASES, looks=looks, sentence=sentence, details=details)


def look_at_accruals(missing: Sequence[str]) -> Look:
    """Return the accounts, by name, that cost something the month before and nothing in this."""
    sentence = say("Each account that cost something the month before did so in this one.")
    if missing:
        sentence = say("Booked the month before, and not in this one: {list}.", list=_list(missing))
    looks = Looks.WRONG if missing else Looks.PERSON
    return Look(kind=StepKind.ACCRUALS, looks=looks, sentence=sentence)


def look_at_bank(accounts: Sequence[tuple[str, int]], open_: Sequence[Say]) -> Look:
    """Return the balances of cash accounts, and what is not reconciled of each."""
    sentence = say("Each account is reconciled to the last day of the month.")
    if open_:
        sentence = say("Not reconciled to the last day: {count}.", count=len(open_))
    looks = Looks.WRONG if open_ else Looks.RIGHT
    if not accounts:
        looks, sentence = Looks.NOTHING, say("Nothing to check: no account has moved yet.")
    return Look(
        kind=StepKind.BANK,
        looks=looks,
        sentence=sentence,
        details=tuple(open_),
        accounts=tuple(accounts),
    )


def _list(names: Sequence[str]) -> str:
    return ", ".join(names[:-1]) + f" and {names[-1]}" if len(names) > 1 else names[0]


# ---- when a month may be shut, and opened ----


def in_the_way(
    *,
    month: dt.date,
    today: dt.date,
    ticked: Collection[StepKind] = tuple(StepKind),
    open_before: Iterable[dt.date] = (),
) -> list[Problem]:
    """Return what stands against shutting a month: its days, earlier months, lines not ticked."""
    problems = []
    last = last_of(month)
    if today <= last:
        sentence = say(
            "{month} is not over: its last day is {day}.", month=named(month), day=long_date(last)
        )
        problems.append(Problem(sentence))
    earlier = [named(one) for one in sorted(open_before)]
    if earlier:
        sentence = say("Earlier months are open: {months}.", months=_list(earlier))
        problems.append(Problem(sentence, remedy=say("Shut them first, the oldest first.")))
    left = [TITLES[kind].lower() for kind in StepKind if kind not in ticked]
    if left:
        sentence = say("Not ticked: {lines}.", lines=_list(left))
        problems.append(Problem(sentence, remedy=say("Tick each line, or say why it may stand.")))
    return problems
