"""A rule tried on real work before it is used: what it would pay for, what it refuses, and why.

>>> from datetime import date
>>> from program.ledger.restrictions import parse
>>> pads = Spend(what="Front pads", system="brakes", on=date(2026, 12, 1), cents=1)
>>> work = [Work(item=1, case="26-041", title="Front pads", cents=8_000, spends=(pads,))]
>>> tires = Fund(code="WIN", name="winter collection", rule=parse({"systems": "tires"}))
>>> trial = tried(work, tires)
>>> trial.count, trial.of_count, [str(said.why) for said in trial.refusals]
(0, 1, ['It pays only for tires.'])
>>> loosened(tires.rule, parse({"systems": "tires; brakes"}))
['systems']
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from program.ledger.restrictions import Fund, Spend, SpendKind, allows
from program.ledger.rules import LIST_NAMES

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

    from program.ledger.rules import Rule
    from shared.say import Say


@dataclass(frozen=True, kw_only=True)
class Work:
    """One open repair item: its likely cost, its spends, and what each fund has set aside for it.

    `set_aside` holds cents by fund code; what is set aside is part of `cents`, not beside it.
    """

    item: int
    case: str
    title: str
    cents: int
    spends: tuple[Spend, ...]
    set_aside: Mapping[str, int] = field(default_factory=dict)

    @property
    def left(self) -> int:
        """What no fund has set money aside for."""
        return max(self.cents - sum(self.set_aside.values()), 0)


@dataclass(frozen=True, kw_only=True)
class Row:
    """What a rule says to one item. `was`: the rule in force allows it; `held`: is set aside."""

    work: Work
    why: Say | None
    was: bool
    held: int = 0

    @property
    def pays(self) -> bool:
        return self.why is None

    @property
    def changes(self) -> bool:
        return self.pays != self.was


@dataclass(frozen=True, kw_only=True)
class Refusal:
    """One sentence, and how many items of how many cents it refuses first."""

    why: Say
    count: int
    cents: int


@dataclass(frozen=True, kw_only=True)
class Trial:
    """A rule's answers to all open work that has a price; `unpriced` items have none yet."""

    rows: tuple[Row, ...]
    unpriced: int = 0

    @property
    def paid(self) -> list[Row]:
        return [row for row in self.rows if row.pays]

    @property
    def count(self) -> int:
        return len(self.paid)

    @property
    def of_count(self) -> int:
        return len(self.rows)

    @property
    def cents(self) -> int:
        return sum(row.work.cents for row in self.paid)

    @property
    def of_cents(self) -> int:
        return sum(row.work.cents for row in self.rows)

    @property
    def wants(self) -> int:
        """The cents that the work it may pay still lacks, whoever else may pay it."""
        return sum(row.work.left for row in self.paid)

    @property
    def changed(self) -> list[Row]:
        return [row for row in self.rows if row.changes]

    @property
    def broken(self) -> list[Row]:
        """The items for which the fund has money set aside that the rule wouldn't allow."""
        return [row for row in self.rows if row.held and not row.pays]

    @property
    def broken_cents(self) -> int:
        return sum(row.held for row in self.broken)

    @property
    def refusals(self) -> list[Refusal]:
        """Each sentence that refuses, the one that refuses most first."""
        by_sentence: dict[Say, list[int]] = {}
        for row in self.rows:
            if row.why:
                by_sentence.setdefault(row.why, []).append(row.work.cents)
        found = [Refusal(why=why, count=len(c), cents=sum(c)) for why, c in by_sentence.items()]
        return sorted(found, key=lambda one: (-one.count, str(one.why)))


@dataclass(frozen=True, kw_only=True)
class Overlap:
    """Another fund that may pay the same work."""

    fund: str
    count: int
    cents: int


def tried(work: Iterable[Work], fund: Fund, *, before: Fund | None = None) -> Trial:
    """Return what `fund` says to all work, beside what it said `before` with the rule in force."""
    priced, rows = [], list(work)
    for one in rows:
        if one.cents:
            why = _refused(fund, one)
            was = why is None if before is None else _refused(before, one) is None
            held = one.set_aside.get(fund.code, 0)
            priced.append(Row(work=one, why=why, was=was, held=held))
    return Trial(rows=tuple(priced), unpriced=len(rows) - len(priced))


def unused(free: int, trial: Trial) -> int:
    """Return the free cents that no open work may use, other funds left out of account.

    An item that several funds may pay counts for each of them: what is said of one fund alone.
    """
    return max(free - trial.wants, 0)


def overlaps(trial: Trial, others: Iterable[Fund]) -> list[Overlap]:
    """Return the funds that may pay some of the work that the trial pays, most cents first."""
    found = []
    for fund in others:
        shared = [row.work.cents for row in trial.paid if _refused(fund, row.work) is None]
        if shared:
            found.append(Overlap(fund=fund.name, count=len(shared), cents=sum(shared)))
    return sorted(found, key=lambda one: (-one.cents, one.fund))


def kinds_refused(fund: Fund, on: date) -> list[SpendKind]:
    """Return the kinds of spend that the fund can't pay, whatever the work.

    Rent, office and fundraising are of no car, so that a rule about cars refuses them.
    """
    carless = (SpendKind.RENT, SpendKind.ADMIN, SpendKind.FUNDRAISING, SpendKind.TOOLS)
    found = []
    for kind in SpendKind:
        limited = bool(fund.rule.kinds) and kind not in fund.rule.kinds
        bare = Spend(what=kind, on=on, cents=1, kind=kind)
        if limited or (kind in carless and not allows(fund, bare)):
            found.append(kind)
    return found


def loosened(old: Rule, new: Rule) -> list[str]:
    """Return the names of the limits that `new` takes away or widens.

    Two people over an amount is the program's own care, which no donor has to agree to.
    """
    wider = [name for name in LIST_NAMES if _wider(getattr(old, name), getattr(new, name))]
    if old.from_on and (new.from_on is None or new.from_on < old.from_on):
        wider.append("from_on")
    if old.until_on and (new.until_on is None or new.until_on > old.until_on):
        wider.append("until_on")
    return wider


def changed(old: Rule, new: Rule) -> list[str]:
    """Return the names of the limits that differ."""
    names: Sequence[str] = (*LIST_NAMES, "from_on", "until_on", "two_over_cents")
    return [name for name in names if getattr(old, name) != getattr(new, name)]


def _wider(old: frozenset[str], new: frozenset[str]) -> bool:
    return bool(old) and not (new and new <= old)


def _refused(fund: Fund, work: Work) -> Say | None:
    """Return the first sentence that bars an item, or None when every part of it is allowed."""
    answers = (allows(fund, spend).reasons for spend in work.spends)
    return next((reasons[0] for reasons in answers if reasons), None)
