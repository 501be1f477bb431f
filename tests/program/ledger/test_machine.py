"""Every action of the books in any order: what a few integers say, the database says too."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final
from uuid import UUID

import pytest
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Sum
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    consumes,
    initialize,
    invariant,
    multiple,
    rule,
    run_state_machine_as_test,
)

from program.ledger.actions import (
    Event,
    Line,
    SetAside,
    agree,
    book,
    decline,
    post_entry,
    release,
    reverse_entry,
    set_aside,
)
from program.ledger.kept_models import Turnover
from program.ledger.ledger import balances
from program.ledger.models import Commitment, Entry, Proposal, ShutMonth
from program.ledger.queries import free_cents, held, held_on, standing_commitments, transfers
from tests.factories import (
    TODAY,
    make_case,
    make_fund,
    make_household,
    make_intake,
    make_item,
    make_program,
    make_user,
)

if TYPE_CHECKING:
    from program.models import Fund

DAYS: Final = (TODAY, dt.date(2026, 10, 15))
LIMIT: Final = 100_000  # the program's own: a purchase above it needs two people
CODES: Final = ("GEN", "ORR", "PRU")
RULES: Final[dict[str, dict[str, list[str]]]] = {
    "GEN": {},
    "ORR": {"counties": ["orrin county"]},
    "PRU": {"systems": ["tires"]},
}
ON_WHAT: Final = ("nothing", "case", "tires", "brakes")
#: What each fund's rule lets be paid: its case is of Orrin County.
MAY: Final = {"GEN": set(ON_WHAT), "ORR": {"case", "tires", "brakes"}, "PRU": {"tires"}}
CENTS: Final = st.sampled_from([1, 2_500, 60_000, LIMIT, LIMIT + 1])
FUNDS, ON, WHAT = st.sampled_from(CODES), st.sampled_from(DAYS), st.sampled_from(ON_WHAT)


class Books(RuleBasedStateMachine):
    """The ledger beside integers: what is free, released and set aside in each fund."""

    entries: Any = Bundle("entries")
    proposals: Any = Bundle("proposals")

    @initialize()
    def open_the_books(self) -> None:
        self.undone = transaction.atomic()
        self.undone.__enter__()
        self.program = make_program()
        self.funds: dict[str, Fund] = {
            code: make_fund(code=code, name=code, restricted=code != "GEN", rule=RULES[code])
            for code in CODES
        }
        self.first, self.second = make_user(), make_user()
        self.case = make_case(household=make_household(county="Orrin County"))
        stay = make_intake(vehicle=self.case.vehicle)
        self.items = {system: make_item(intake=stay, system=system) for system in ON_WHAT[2:]}
        self.number = 0
        self.free, self.released, self.aside = Counter[str](), Counter[str](), Counter[str]()
        self.forced: set[str] = set()  # funds from which a fact or a reversal took
        self.shut: set[dt.date] = set()

    def teardown(self) -> None:
        transaction.set_rollback(True)
        self.undone.__exit__(None, None, None)

    def event(self, on: dt.date) -> Event:
        self.number += 1
        return Event(key=f"form:{UUID(int=self.number)}", on=on, what=f"Event {self.number}")

    def bill(self, code: str, cents: int, what: str) -> Line:
        case = None if what == "nothing" else self.case
        return Line(
            debit="6010",
            credit="1010",
            cents=cents,
            fund=self.funds[code],
            case=case,
            item=self.items.get(what),
        )

    def post(self, event: Event, *lines: Line, may: bool, **fields: Any) -> Entry | None:
        """Return the entry where it may be written, and None where it has to be refused."""
        sent: dict[str, Any] = {"program": self.program, "event": event, "lines": lines, **fields}
        if may and event.on.replace(day=1) not in self.shut:
            return post_entry(**sent, by=self.first)
        with pytest.raises(ValidationError):
            post_entry(**sent, by=self.first)
        return None

    def spent(self, code: str, cents: int) -> None:
        self.free[code] -= cents
        if code != "GEN":
            self.released[code] += cents

    @rule(target=entries, code=FUNDS, cents=CENTS, on=ON)
    def gift(self, code: str, cents: int, on: dt.date) -> Any:
        line = Line(debit="1010", credit="4010", cents=cents, fund=self.funds[code])
        entry = self.post(self.event(on), line, may=True)
        if entry is None:
            return multiple()
        self.free[code] += cents
        return entry, {code: (cents, 0)}

    @rule(target=entries, code=FUNDS, cents=CENTS, on=ON, what=WHAT)
    def spend(self, code: str, cents: int, on: dt.date, what: str) -> Any:
        may = cents <= self.free[code] and what in MAY[code]
        entry = self.post(self.event(on), self.bill(code, cents, what), may=may)
        if entry is None:
            return multiple()
        self.spent(code, cents)
        return entry, {code: (-cents, cents if code != "GEN" else 0)}

    @rule(target=entries, code=FUNDS, cents=CENTS, on=ON, what=WHAT)
    def fact(self, code: str, cents: int, on: dt.date, what: str) -> Any:
        entry = self.post(self.event(on), self.bill(code, cents, what), may=True, fact=True)
        if entry is None:
            return multiple()
        self.spent(code, cents)
        self.forced.add(code)
        return entry, {code: (-cents, cents if code != "GEN" else 0)}

    @rule(target=entries, source=FUNDS, into=FUNDS, cents=CENTS, on=ON)
    def move(self, source: str, into: str, cents: int, on: dt.date) -> Any:
        lines = (
            Line(debit="3110", credit="1010", cents=cents, fund=self.funds[source]),
            Line(debit="1010", credit="3110", cents=cents, fund=self.funds[into]),
        )
        may = source == into or (source == "GEN" and cents <= self.free["GEN"])
        entry = self.post(self.event(on), *lines, may=may)
        if entry is None:
            return multiple()
        self.free[source] -= cents
        self.free[into] += cents
        return entry, {} if source == into else {source: (-cents, 0), into: (cents, 0)}

    @rule(pair=consumes(entries), on=ON)
    def reverse(self, pair: tuple[Entry, dict[str, tuple[int, int]]], on: dt.date) -> None:
        entry, changes = pair
        if on.replace(day=1) in self.shut:
            with pytest.raises(ValidationError, match="was shut by"):
                reverse_entry(entry=entry, on=on, reason="A slip.", by=self.first)
            return
        reverse_entry(entry=entry, on=on, reason="A slip.", by=self.first)
        with pytest.raises(ValidationError, match="reversed already"):
            reverse_entry(entry=entry, on=on, reason="A slip.", by=self.first)
        for code, (free, released) in changes.items():
            self.free[code] -= free
            self.released[code] -= released
            self.forced.add(code)

    @rule(code=FUNDS, cents=CENTS)
    def put_aside(self, code: str, cents: int) -> None:
        event = replace(self.event(TODAY), key=f"plan:{self.number}")
        row = SetAside(fund=self.funds[code], case=self.case, item_id=self.number, cents=cents)
        sent: dict[str, Any] = {"program": self.program, "event": event, "rows": [row]}
        if cents <= self.free[code] and TODAY.replace(day=1) not in self.shut:
            set_aside(**sent, by=self.first)
            self.free[code] -= cents
            self.aside[code] += cents
        else:
            with pytest.raises(ValidationError):
                set_aside(**sent, by=self.first)

    @rule(count=st.integers(1, 3))
    def free_what_is_aside(self, count: int) -> None:
        rows = list(standing_commitments(self.program)[:count])
        sent: dict[str, Any] = {"program": self.program, "commitments": rows, "by": None}
        if not rows or TODAY.replace(day=1) in self.shut:
            return
        assert release(event=self.event(TODAY), **sent)
        assert release(event=self.event(TODAY), **sent) is None  # once, whoever asks again
        for row in rows:
            self.free[row.fund.code] += row.cents
            self.aside[row.fund.code] -= row.cents

    @rule(on=ON)
    def shut_month(self, on: dt.date) -> None:
        month = on.replace(day=1)
        if month not in self.shut:
            self.shut.add(month)
            ShutMonth.objects.create(program=self.program, month=month, shut_by=self.first)

    @rule(on=ON)
    def open_month(self, on: dt.date) -> None:
        month = on.replace(day=1)
        self.shut.discard(month)
        rows = ShutMonth.objects.filter(month=month, opened_at=None)
        rows.update(opened_at="2026-12-01T12:00Z", opened_by=self.first, reason="A late bill.")

    @rule(target=proposals, code=FUNDS, what=WHAT, on=ON)
    def ask_for_two(self, code: str, what: str, on: dt.date) -> Any:
        event, cents = self.event(on), LIMIT + 1
        sent: dict[str, Any] = {"lines": [self.bill(code, cents, what)], "on": on, "fact": False}
        sent |= {"what": event.what, "key": UUID(int=self.number), "by": self.first}
        if cents > self.free[code] or what not in MAY[code] or on.replace(day=1) in self.shut:
            with pytest.raises(ValidationError):
                book(**sent)
            return multiple()
        asked = book(**sent)
        assert isinstance(asked, Proposal)
        assert book(**sent) == asked
        return asked, code

    @rule(target=entries, pair=consumes(proposals))
    def second_agrees(self, pair: tuple[Proposal, str]) -> Any:
        asked, code = pair
        with pytest.raises(ValidationError):
            agree(proposal=asked, by=self.first)
        if self.free[code] < LIMIT + 1 or asked.on.replace(day=1) in self.shut:
            with pytest.raises(ValidationError):
                agree(proposal=asked, by=self.second)
            return multiple()
        entry = agree(proposal=asked, by=self.second)
        assert agree(proposal=asked, by=self.second) == entry
        assert (entry.by, entry.second) == (self.first, self.second)
        self.spent(code, LIMIT + 1)
        return entry, {code: (-LIMIT - 1, LIMIT + 1 if code != "GEN" else 0)}

    @rule(pair=consumes(proposals))
    def second_declines(self, pair: tuple[Proposal, str]) -> None:
        asked, _ = pair
        decline(proposal=asked, reason="Too dear.", by=self.second)
        with pytest.raises(ValidationError, match="decided already"):
            agree(proposal=asked, by=self.second)

    @invariant()
    def kept_tables_equal_the_sum(self) -> None:
        kept, summed = held(self.program), balances(transfers(self.program))
        assert kept == summed == held_on(self.program, dt.date.max)
        assert sum(kept.cells.values()) == 0
        sides = Turnover.objects.aggregate(debits=Sum("debits"), credits=Sum("credits"))
        assert sides["debits"] == sides["credits"]

    @invariant()
    def funds_hold_what_the_integers_say(self) -> None:
        free = free_cents(self.funds.values(), held(self.program))
        assert free == {code: self.free[code] for code in CODES}
        assert [code for code in CODES if free[code] < 0 and code not in self.forced] == []

    @invariant()
    def releases_equal_what_restricted_funds_spent(self) -> None:
        kept = held(self.program)
        for code in CODES:
            assert kept.account("3210", code) == self.released[code]
            assert -kept.account("3220", code) == self.released[code]
            if code != "GEN":
                assert kept.account("6010", code) == self.released[code]

    @invariant()
    def what_is_set_aside_stands_until_it_is_freed(self) -> None:
        kept = held(self.program)
        for code in CODES:
            rows = Commitment.objects.filter(fund=self.funds[code], released_by=None)
            standing = sum(rows.values_list("cents", flat=True))
            assert standing == kept.account("9010", code) == self.aside[code]


@pytest.mark.slow
@pytest.mark.django_db
def test_the_books_hold_whatever_is_done_to_them() -> None:
    run_state_machine_as_test(
        Books, settings=settings(max_examples=20, stateful_step_count=25, deadline=None)
    )
