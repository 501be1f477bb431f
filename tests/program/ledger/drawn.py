"""Books drawn by chance as a small charity keeps them: the same seed draws the same books.

Gifts and grants come in, bills over several funds are owed and paid, parts are given and fitted,
money is set aside and freed, moved and released, and now and then an entry is reversed.
"""

from __future__ import annotations

import datetime as dt
from collections import deque
from itertools import islice
from random import Random
from typing import TYPE_CHECKING, NamedTuple

from program.ledger.ledger import Transfer as Pure
from program.models import Case, Commitment, Entry, Fund, Household, Transfer
from shared.models import Address
from tests.factories import make_program
from vehicles.models import Vehicle

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from shared.accounts.models import Program

FREE = ("GEN", "SHOP", "RES")
BOUND = ("PRU", "WIN", "TIRE", "GRA", "GRB")
FUNDS = FREE + BOUND
BOUGHT = ("6010", "6010", "6010", "6030", "6040", "6050", "6080", "6090")
COSTS = ("6060", "6070", "6100", "7010", "7020", "7030", "7040", "8010", "8020")
CLASSES = ("", "", "", "program", "management", "fundraising")
FIRST = dt.date(2026, 1, 1)
A_YEAR = 50_000  # transfers
BATCH = 2_000


class Moved(NamedTuple):
    """One transfer of a drawn entry; `case` counts from 0."""

    debit: str
    credit: str
    cents: int
    fund: str
    case: int | None = None
    function: str = ""


class Drawn(NamedTuple):
    """One drawn entry."""

    number: int
    on: dt.date
    what: str
    moved: list[Moved]


class Books:
    """Draws entries; what is owed, set aside or reversible is remembered between them."""

    def __init__(self, seed: int, cases: int) -> None:
        self.chance, self.cases = Random(seed), cases
        self.owed: deque[Moved] = deque()
        self.aside: deque[Moved] = deque()
        self.last: list[Moved] = []
        kinds: list[tuple[int, str, Callable[[], list[Moved]]]] = [
            (22, "Gift", self.gift),
            (3, "Grant", self.grant),
            (26, "Bill for parts and work", self.bill),
            (18, "Bills paid", self.pay),
            (6, "Parts given and fitted", self.given),
            (10, "Running costs", self.costs),
            (5, "Released from restriction", self.release),
            (2, "Moved between funds", self.move),
            (4, "Set aside", self.set_aside),
            (3, "Freed", self.free),
            (1, "Reversed", self.reverse),
        ]
        self.weights = [weight for weight, _, _ in kinds]
        self.kinds = [(what, draw) for _, what, draw in kinds]

    def draw(self) -> tuple[str, list[Moved]]:
        """Return the words and the transfers of one entry that has any."""
        while True:
            what, draw = self.chance.choices(self.kinds, self.weights)[0]
            if moved := draw():
                self.last = moved if moved[0].debit[0] != "9" else []
                return what, moved

    def cents(self, most: int = 40_000) -> int:
        return self.chance.randint(101, most)

    def of(self, names: tuple[str, ...]) -> str:
        return self.chance.choice(names)

    def case(self) -> int:
        return self.chance.randrange(self.cases)

    def gift(self) -> list[Moved]:
        giver = self.of(("4010", "4010", "4020"))
        return [Moved(self.of(("1010", "1020", "1030")), giver, self.cents(), self.of(FUNDS))]

    def grant(self) -> list[Moved]:
        fund, cents = self.of(BOUND), self.cents(900_000)
        return [Moved("1110", "4030", cents, fund), Moved("1010", "1110", cents, fund)]

    def bill(self) -> list[Moved]:
        case = self.case()
        lines = [
            Moved(self.of(BOUGHT), "2010", self.cents(), self.of(FUNDS), case)
            for _ in range(self.chance.randint(1, 5))
        ]
        self.owed.extend(lines)
        return lines

    def pay(self) -> list[Moved]:
        paid = [self.owed.popleft() for _ in range(min(len(self.owed), self.chance.randint(1, 6)))]
        return [Moved("2010", "1010", line.cents, line.fund) for line in paid]

    def given(self) -> list[Moved]:
        cents, fund = self.cents(), self.of(FREE)
        fitted = Moved("6020", "1210", cents, fund, self.case())
        return [Moved("1210", "4110", cents, fund), fitted]

    def costs(self) -> list[Moved]:
        account, fund = self.of(COSTS), self.of(FREE)
        return [
            Moved(account, "1010", self.cents(), fund, None, function)
            for function in self.chance.sample(CLASSES, self.chance.randint(1, 3))
        ]

    def release(self) -> list[Moved]:
        return [Moved("3210", "3220", self.cents(), self.of(BOUND))]

    def move(self) -> list[Moved]:
        giving, taking = self.chance.sample(FREE, 2)
        cents = self.cents()
        return [Moved("3110", "1010", cents, giving), Moved("1010", "3110", cents, taking)]

    def set_aside(self) -> list[Moved]:
        line = Moved("9010", "9020", self.cents(), self.of(FUNDS), self.case())
        self.aside.append(line)
        return [line]

    def free(self) -> list[Moved]:
        if not self.aside:
            return []
        line = self.aside.popleft()
        return [line._replace(debit="9020", credit="9010")]

    def reverse(self) -> list[Moved]:
        return [line._replace(debit=line.credit, credit=line.debit) for line in self.last]


def drawn_books(count: int = A_YEAR, *, seed: int = 1, cases: int = 40) -> Iterator[Drawn]:
    """Yield entries of `count` transfers in all, in the order of their days, 50,000 a year."""
    books, number, written = Books(seed, cases), 0, 0
    while written < count:
        what, moved = books.draw()
        moved = moved[: count - written]
        year, place = divmod(written, A_YEAR)
        first = FIRST.replace(year=FIRST.year + year)
        length = (first.replace(year=first.year + 1) - first).days
        yield Drawn(number, first + dt.timedelta(place * length // A_YEAR), what, moved)
        number, written = number + 1, written + len(moved)


def pure(books: Iterable[Drawn]) -> list[Pure]:
    """Return drawn books as the pure modules read them."""
    return [
        Pure(
            entry=f"drawn:{entry.number}",
            on=entry.on,
            debit=line.debit,
            credit=line.credit,
            cents=line.cents,
            fund=line.fund,
        )
        for entry in books
        for line in entry.moved
    ]


def write(books: Iterable[Drawn], *, cases: int = 40) -> Program:
    """Write drawn books into the database, with funds and cases of their own."""
    program = make_program()
    funds = _funds(program)
    known = _cases(program, cases)
    drawn = iter(books)
    while batch := list(islice(drawn, BATCH)):
        entries = Entry.objects.bulk_create(
            [
                Entry(program=program, key=f"drawn:{one.number}", on=one.on, what=one.what)
                for one in batch
            ]
        )
        Transfer.objects.bulk_create(
            [
                Transfer(
                    program=program,
                    entry=entry,
                    debit=line.debit,
                    credit=line.credit,
                    cents=line.cents,
                    fund=funds[line.fund],
                    case=None if line.case is None else known[line.case],
                    function=line.function,
                )
                for entry, one in zip(entries, batch, strict=True)
                for line in one.moved
            ],
            batch_size=BATCH,
        )
    _commitments(program)
    return program


def _funds(program: Program) -> dict[str, Fund]:
    rows = [
        Fund(
            program=program,
            code=code,
            name=f"fund {code}",
            restricted=code in BOUND,
            opened_on=FIRST,
        )
        for code in FUNDS
    ]
    return {fund.code: fund for fund in Fund.objects.bulk_create(rows)}


def _cases(program: Program, count: int) -> list[Case]:
    homes = Address.objects.bulk_create(
        [Address(program=program) for _ in range(count)], batch_size=BATCH
    )
    households = Household.objects.bulk_create(
        [
            Household(program=program, name=f"Household {at}", address=home, stage_since_on=FIRST)
            for at, home in enumerate(homes)
        ],
        batch_size=BATCH,
    )
    cars = Vehicle.objects.bulk_create(
        [
            Vehicle(program=program, vin=f"DRAWN{at:012}", year=2010, make="Ford", model="Focus")
            for at in range(count)
        ],
        batch_size=BATCH,
    )
    return Case.objects.bulk_create(
        [
            Case(program=program, household=home, vehicle=car, number=f"D-{at}", opened_on=FIRST)
            for at, (home, car) in enumerate(zip(households, cars, strict=True))
        ],
        batch_size=BATCH,
    )


def _commitments(program: Program) -> None:
    """Write the row of each transfer that set money aside; the oldest are freed first."""
    memo = Transfer.objects.filter(program=program).order_by("entry_id", "pk")
    freeing = memo.filter(debit="9020").values_list("entry_id", flat=True)
    freed = iter(list(freeing))
    Commitment.objects.bulk_create(
        [
            Commitment(
                program=program,
                cause="drawn",
                case_id=row.case_id or 0,
                item_id=row.pk,
                fund_id=row.fund_id,
                cents=row.cents,
                entry_id=row.entry_id,
                released_by_id=next(freed, None),
            )
            for row in memo.filter(debit="9010")
        ],
        batch_size=BATCH,
    )
