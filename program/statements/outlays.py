"""What each case cost over a span, by kind of cost, and what is left without a case.

Source: job-order costing, OpenStax Principles of Accounting Vol. 2 sec. 4.4 (text-seen): a job's
cost is its material, its labor and the overhead charged to it.

>>> found = outlays({(7, "6010"): 10000, (7, "6110"): 4000}, {7: "26-041"}, {})
>>> [(row.number, row.money, row.in_kind, row.total) for row in found.cases]
[('26-041', 10000, 4000, 14000)]
>>> each(18000000, 900)
20000
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from program.statements.rows import Figure, Sheet, line, moved, plain, summed
from shared.money import usd

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from program.statements.statements import Books


class Sort(StrEnum):
    """What a case's money or gift went into."""

    PARTS = "parts"
    ELSEWHERE = "elsewhere"
    PAY = "pay"
    OTHER = "other"
    IN_KIND = "in_kind"


SORTS: Final = {
    "6010": Sort.PARTS,
    "6020": Sort.IN_KIND,
    "6030": Sort.ELSEWHERE,
    "6040": Sort.ELSEWHERE,
    "6100": Sort.PAY,
    "6110": Sort.IN_KIND,
    "6120": Sort.IN_KIND,
}
HEADS: Final = {
    Sort.PARTS: "Parts bought",
    Sort.ELSEWHERE: "Work elsewhere",
    Sort.PAY: "Pay",
    Sort.OTHER: "Other",
    Sort.IN_KIND: "In kind",
}
NOT_SHOWN: Final = "Withheld from you"


@dataclass(frozen=True, kw_only=True)
class CaseCost:
    """What one case cost, in cents by sort; `number` is empty for what belongs to no case."""

    number: str
    sorts: Mapping[Sort, int]

    @property
    def in_kind(self) -> int:
        return self.sorts.get(Sort.IN_KIND, 0)

    @property
    def money(self) -> int:
        return self.total - self.in_kind

    @property
    def total(self) -> int:
        return sum(self.sorts.values())


@dataclass(frozen=True, kw_only=True)
class Outlays:
    """The cost of each case by number, and of what belongs to none."""

    cases: tuple[CaseCost, ...]
    without: CaseCost

    @property
    def of_cases(self) -> int:
        return sum(row.total for row in self.cases)

    @property
    def total(self) -> int:
        return self.of_cases + self.without.total


def outlays(
    costs: Mapping[tuple[int, str], int], numbers: Mapping[int, str], rest: Mapping[str, int]
) -> Outlays:
    """Return what each case cost, by its number.

    `costs` are cents by case and expense account, `rest` by account what belongs to no case. Cases
    that `numbers` doesn't name are one line: the reader may not see which they are.
    """
    cases: dict[str, Counter[Sort]] = {}
    for (pk, account), cents in costs.items():
        row = cases.setdefault(numbers.get(pk, NOT_SHOWN), Counter())
        row[_sort(account)] += cents
    without: Counter[Sort] = Counter()
    for account, cents in rest.items():
        without[_sort(account)] += cents
    return Outlays(
        cases=tuple(
            CaseCost(number=number, sorts=dict(cases[number]))
            for number in sorted(cases, key=_place)
        ),
        without=CaseCost(number="", sorts=dict(without)),
    )


def _place(number: str) -> list[str]:
    """Return where a case's number stands: 26-1003 after 26-947."""
    return [part.zfill(9) for part in number.split("-")]


def each(cents: int, count: int) -> int | None:
    """Return the cost for each of `count`, to the nearest cent, half up; None for none.

    Source: OpenStax Principles of Accounting Vol. 2 sec. 5.1 (text-seen).
    """
    return (2 * cents + count) // (2 * count) if count else None


def _sort(account: str) -> Sort:
    return SORTS.get(account, Sort.OTHER)


def cases_sheet(books: Books, found: Outlays, handed_back: int) -> Sheet:
    """Return what each case cost over the span; no household is named."""
    heads = tuple(HEADS)
    rows = [line(one.number, _costs(books, one, heads)) for one in found.cases]
    sums = [sum(one.sorts.get(sort, 0) for one in found.cases) for sort in heads]
    rest = [found.without.sorts.get(sort, 0) for sort in heads]
    both = [one + other for one, other in zip(sums, rest, strict=True)]
    cost = each(found.total, handed_back)
    return Sheet(
        name="cases",
        title="Cost of each case",
        lead="What each case cost in money and in gifts; what belongs to no case stands below.",
        sum=f"{usd(found.of_cases)} for cases, {usd(found.without.total)} for none.",
        first="Case",
        columns=(*HEADS.values(), "Total"),
        rows=(
            *rows,
            summed("All cases", [*sums, found.of_cases]),
            line("No case", [*map(plain, rest), plain(found.without.total)]),
            summed("All expenses", [*both, found.total]),
        ),
        notes=_cost_notes(handed_back, cost),
        below=3,
    )


def _cost_notes(handed_back: int, cost: int | None) -> tuple[str, ...]:
    if cost is None:
        return ("No car was handed back within these days, so there is no cost for each.",)
    cars = "One car was" if handed_back == 1 else f"{handed_back:,} cars were"
    return (f"{cars} handed back and stayed so: {usd(cost)} of all expenses for each.",)


def _costs(books: Books, one: CaseCost, heads: Sequence[Sort]) -> list[Figure]:
    known = one.number != NOT_SHOWN
    cents = [*(one.sorts.get(sort, 0) for sort in heads), one.total]
    return [moved(books, n, case=one.number) if known else plain(n) for n in cents]
