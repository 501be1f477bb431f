"""The statements of a span, from the balances that the database keeps."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Final

from django.db.models import Q, Sum

from program.cases.models import Case
from program.ledger.chart import Kind, load
from program.ledger.models import Fund, Transfer
from program.ledger.queries import (
    by_function,
    case_costs,
    held_on,
    pure_funds,
    standing_commitments,
)
from program.statements.changes import activities_sheet
from program.statements.disclosure import gifts, gifts_sheet
from program.statements.functional import functional_sheet
from program.statements.outlays import cases_sheet, outlays
from program.statements.position import position, position_sheet
from program.statements.sheets import funds_sheet, trial_sheet
from program.statements.spans import ONE_DAY, year_before
from program.statements.statements import (
    Books,
    activities,
    fund_lines,
    trial_balance,
    unreleased,
)
from program.statements.ties import Found, ties
from shared.policy.queries import policies
from vehicles.custody.conditions import Step

if TYPE_CHECKING:
    import datetime as dt

    from program.ledger.restrictions import Fund as PureFund
    from program.statements.outlays import Outlays
    from program.statements.position import Position
    from program.statements.rows import Sheet
    from program.statements.ties import Tie
    from shared.accounts.models import Program, User

TITLES: Final = {
    "trial": "Trial balance",
    "activities": "Activities",
    "position": "Financial position",
    "functional": "Functional expenses",
    "funds": "Funds",
    "in-kind": "Gifts in kind",
    "cases": "Cost of each case",
}


@dataclass(frozen=True)
class Report:
    """All statements of a span, as `user` may see them; what isn't asked for isn't read.

    Without `cases` the one check that reads each transfer of the span is left out.
    """

    user: User
    program: Program
    from_on: dt.date
    until_on: dt.date
    cases: bool = True

    @cached_property
    def books(self) -> Books:
        """The books of the span."""
        return _books(self.program, self._funds, self.from_on, self.until_on)

    @cached_property
    def earlier(self) -> Books:
        """The books of the same days a year before."""
        days = year_before(self.from_on), year_before(self.until_on)
        return _books(self.program, self._funds, *days)

    @cached_property
    def position(self) -> Position:
        return self._position(self.books)

    @cached_property
    def outlays(self) -> Outlays:
        """What each case cost; cases that a tie keeps from the reader stand together."""
        days = self.from_on, self.until_on
        numbers = dict(Case.objects.for_user(self.user).order_by().values_list("pk", "number"))
        return outlays(case_costs(self.program, *days), numbers, _caseless(self.program, *days))

    @cached_property
    def ties(self) -> list[Tie]:
        """Every check between the statements, those that fail first."""
        books = self.books
        found = Found(
            books=books,
            trial=trial_balance(books),
            activities=activities(books),
            position=self.position,
            funds=fund_lines(books),
            gifts=gifts(books),
            unreleased=unreleased(books),
            outlays=self.outlays if self.cases else None,
            standing=self._standing,
        )
        return ties(found)

    @property
    def failing(self) -> list[Tie]:
        """The checks that do not tie."""
        return [tie for tie in self.ties if not tie.holds]

    def sheet(self, name: str) -> Sheet:
        """Return one statement by its name, a key of `TITLES`."""
        made = {
            "trial": lambda: trial_sheet(self.books),
            "activities": lambda: activities_sheet(self.books, self.earlier),
            "position": lambda: position_sheet(
                self.books, self.position, self._position(self.earlier)
            ),
            "functional": lambda: functional_sheet(self.books),
            "funds": lambda: funds_sheet(self.books),
            "in-kind": lambda: gifts_sheet(self.books),
            "cases": lambda: cases_sheet(self.books, self.outlays, self._handed_back),
        }
        return made[name]()

    @property
    def sheets(self) -> list[Sheet]:
        return [self.sheet(name) for name in TITLES]

    @cached_property
    def _funds(self) -> dict[str, PureFund]:
        return pure_funds(Fund.objects.filter(program=self.program))

    @cached_property
    def reserve(self) -> int:
        """The cents that the board keeps, by its policy on the last day."""
        return policies(self.program, self.until_on)["reserve_floor_cents"]

    def _position(self, books: Books) -> Position:
        return position(books.now, books.chart, books.funds, reserve=self.reserve)

    @property
    def _standing(self) -> int | None:
        """What commitments stand for now; None where the span ends before today."""
        if self.until_on < self.program.today():
            return None
        rows = standing_commitments(self.program).order_by()
        return rows.aggregate(cents=Sum("cents"))["cents"] or 0

    @property
    def _handed_back(self) -> int:
        """How many cases were closed within the span whose car is back with its household."""
        closed = Case.objects.filter(
            program=self.program, closed_on__range=(self.from_on, self.until_on)
        )
        return closed.filter(vehicle__condition__step=Step.HANDED_BACK).count()


def _books(
    program: Program, funds: dict[str, PureFund], from_on: dt.date, until_on: dt.date
) -> Books:
    return Books(
        chart=load(),
        funds=funds,
        from_on=from_on,
        until_on=until_on,
        before=held_on(program, from_on - ONE_DAY),
        now=held_on(program, until_on),
        functions=by_function(program, from_on, until_on),
    )


def _caseless(program: Program, from_on: dt.date, until_on: dt.date) -> dict[str, int]:
    """Return what a span spent for no case, by expense account; one query."""
    spent = {code for code, account in load().items() if account.kind == Kind.EXPENSE}
    rows = Transfer.objects.filter(
        Q(debit__in=spent) | Q(credit__in=spent),
        program=program,
        case__isnull=True,
        entry__program=program,
        entry__on__range=(from_on, until_on),
    ).order_by()
    sums: Counter[str] = Counter()
    for debit, credit, cents in rows.values_list("debit", "credit").annotate(sum=Sum("cents")):
        sums[debit] += cents
        sums[credit] -= cents
    return {code: cents for code, cents in sorted(sums.items()) if cents and code in spent}
