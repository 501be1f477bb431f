"""What the demonstration's treasurer has done already."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
import time_machine

from program.closing.duties import Standing
from program.closing.queries import duty_rows
from program.gifts.states import OfferState
from program.grants.queries import book_of
from program.management.demo_books import make_books
from program.models import Claim, CloseStep, Grant, Offer, ShutMonth
from shared.accounts.roles import RoleKind
from tests.factories import make_entry, make_fund, make_program, make_user

if TYPE_CHECKING:
    from shared.models import Program

pytestmark = pytest.mark.django_db
TODAY = "2026-11-30 15:00:00+00:00"


@pytest.fixture
def program() -> Program:
    make_user(RoleKind.TREASURER, username="jonas")
    make_user(RoleKind.COORDINATOR, username="imke")
    county = make_fund(
        code="ORR",
        name="Orrin County commuter grant",
        restricted=True,
        opened_on=date(2026, 1, 2),
        lapses_on=date(2026, 12, 31),
    )
    make_entry(("1010", "4030", 200_000, county), on=date(2026, 6, 2))
    return make_program()


@time_machine.travel(TODAY, tick=False)
def test_two_grants_two_gifts_and_the_months_long_over(program: Program) -> None:
    make_books(program)
    assert set(Grant.objects.values_list("fund__code", flat=True)) == {"ORR", "MILL"}
    states = dict(Offer.objects.values_list("giver", "state"))
    assert states == {
        "Alder Grange": OfferState.OFFERED,
        "P. Hartwell": OfferState.REFUSED,
    }
    shut = ShutMonth.objects.order_by("month").values_list("month", flat=True)
    assert [str(month) for month in shut] == ["2026-06-01", "2026-07-01"]
    late = [row for row in duty_rows(program, 2026, date(2026, 11, 30)) if not row.due.page]
    assert Standing.OVERDUE not in {row.standing for row in late}


@time_machine.travel(TODAY, tick=False)
def test_a_second_start_writes_nothing_twice(program: Program) -> None:
    for _ in range(2):
        make_books(program)
    counts = [rows.objects.count() for rows in (Grant, Claim, Offer, ShutMonth, CloseStep)]
    assert counts == [2, 0, 2, 2, 14]


@pytest.mark.parametrize("day", [TODAY, "2026-10-02 15:00:00+00:00", "2027-01-05 15:00:00+00:00"])
def test_the_smallest_cost_of_the_last_quarter_was_refused(program: Program, day: str) -> None:
    general = make_fund(code="GEN", name="general fund")
    make_entry(("1010", "4010", 200_000, general), on=date(2026, 6, 2))
    for cents, month in ((9_230, 7), (11_800, 9), (1_800, 10), (2_500, 11)):
        make_entry(("6010", "1010", cents, general), on=date(2026, month, 12))
    with time_machine.travel(day, tick=False):
        for _ in range(2):
            make_books(program)
        claim = Claim.objects.get()
        refused = claim.answers.get()
        smallest, _ = sorted(line.transfer.cents for line in claim.lines.all())
        assert (refused.kind, refused.cents) == ("refused", smallest)
        assert claim.lines.get(freed=True).transfer.cents == smallest
        assert claim.sent_on is not None
        assert claim.until_on < claim.sent_on <= refused.on <= program.today()
        assert book_of(claim.grant, program.today()).room == 150_000 - claim.cents + smallest


@time_machine.travel(TODAY, tick=False)
def test_without_books_nothing_is_shut() -> None:
    make_user(RoleKind.TREASURER, username="jonas")
    make_user(RoleKind.COORDINATOR, username="imke")
    make_books(make_program())
    assert not ShutMonth.objects.exists()
    assert not Grant.objects.exists()
