"""Months as they stand, and the duties of a year."""

from __future__ import annotations

from datetime import date

import pytest

from program.closing.actions import open_month, record_duty, shut_month
from program.closing.duties import Standing
from program.closing.queries import duty_rows, history, month_rows, next_duties, year_at
from program.closing.steps import MonthState
from program.models import CloseStep
from shared.policy.models import Policy
from tests.factories import TODAY, make_fund, make_program, make_user
from tests.program.closing.months import (
    NOVEMBER,
    OCTOBER,
    SEPTEMBER,
    gift,
    shut,
    tick_all,
    treasurer,
)
from tests.program.grants.awards import general, make_grant, spent
from vehicles.models import Equipment

pytestmark = pytest.mark.django_db


def states(year: int = 2026) -> dict[str, MonthState]:
    return {row.name: row.state for row in month_rows(make_program(), year, TODAY)}


def test_each_month_of_the_year_has_its_state() -> None:
    user = treasurer()
    for month in (SEPTEMBER, OCTOBER, NOVEMBER):
        gift(month)
    shut(SEPTEMBER, user)
    tick_all(OCTOBER, user)
    tick_all(NOVEMBER, user)
    found = states()
    assert [*found][:2] == ["January 2026", "February 2026"]
    assert found["August 2026"] is MonthState.EMPTY
    assert found["September 2026"] is MonthState.SHUT
    assert found["October 2026"] is MonthState.READY
    assert found["November 2026"] is MonthState.AHEAD
    CloseStep.objects.filter(month=OCTOBER, kind="bank").update(
        undone_at=TODAY.isoformat() + "T10:00Z"
    )
    assert states()["October 2026"] is MonthState.OPEN


def test_a_fiscal_year_begins_in_the_month_that_the_board_set() -> None:
    Policy.objects.create(
        program=make_program(), name="fiscal_year_month", value=7, since_on=date(2020, 1, 1)
    )
    assert year_at(make_program(), date(2026, 6, 30)) == 2025
    assert [*states()][::11] == ["July 2026", "June 2027"]


def test_the_history_tells_each_time_with_who_and_why() -> None:
    user = treasurer()
    shut(OCTOBER, user)
    open_month(program=make_program(), month=OCTOBER, reason="A late bill.", by=user)
    shut_month(program=make_program(), month=OCTOBER, by=user)
    rows = history(make_program(), OCTOBER)
    assert [(row.shut_by, row.opened_by, row.reason) for row in rows] == [
        (user, None, ""),
        (user, user, "A late bill."),
    ]


def test_duties_stand_with_what_somebody_said_of_them() -> None:
    user = make_user()
    for code, applies in (("form-990", True), ("contractors", False)):
        record_duty(
            year=2026, code=code, on=date(2026, 5, 4), note="Seen.", applies=applies, by=user
        )
    rows = {row.due.duty.code: row for row in duty_rows(make_program(), 2026, TODAY)}
    assert rows["form-990"].standing is Standing.DONE
    assert rows["contractors"].standing is Standing.ASIDE
    assert rows["ties"].standing is Standing.OVERDUE
    assert rows["shelf-count"].standing is Standing.AHEAD
    assert rows["state-charity"].standing is Standing.NO_DAY
    assert (rows["form-990"].month, rows["insurance"].month) == (date(2026, 5, 1), None)


def test_equipment_comes_from_the_shops_own_list() -> None:
    piece = Equipment.objects.create(
        program=make_program(), name="Two-post lift", kind="lift", due_on=date(2026, 12, 14)
    )
    row = next(row for row in duty_rows(make_program(), 2026, TODAY) if row.due.page)
    assert (row.due.duty.title, row.due.on) == ("Inspect: Two-post lift", date(2026, 12, 14))
    assert (row.due.page, row.standing) == (f"/shop/equipment/{piece.pk}/", Standing.SOON)
    assert [row.due.page for row in duty_rows(make_program(), 2027, TODAY) if row.due.page] == []


def test_the_next_duties_reach_over_the_end_of_the_year() -> None:
    def codes(today: date) -> list[str]:
        return [row.due.duty.code for row in next_duties(make_program(), today)]

    assert codes(date(2026, 12, 28)) == [
        "winter",
        "gift-rush",
        "last-gifts",
        "shelf-count",
        "guideline",
    ]
    record_duty(year=2026, code="gift-rush", on=TODAY, note="", applies=True, by=make_user())
    assert codes(date(2027, 1, 2))[:3] == ["winter", "last-gifts", "shelf-count"]


def test_claims_and_reports_come_from_the_grants_and_lead_to_them() -> None:
    spent(general(), 1_000, date(2026, 11, 2))
    claimed = make_grant()
    reported = make_grant(make_fund(name="spring gift", restricted=True), pays="ahead", due_days=5)
    rows = duty_rows(make_program(), 2026, TODAY)
    found = [row.due for row in rows if row.due.duty.rule == "grant"]
    assert [(due.duty.title, str(due.on), due.page) for due in found][::2] == [
        (
            "Send the report for October 2026: spring gift",
            "2026-11-05",
            f"/money/grants/{reported.pk}/",
        ),
        (
            "Send the claim for November 2026: commuter grant",
            "2026-12-20",
            f"/money/grants/{claimed.pk}/",
        ),
    ]
    assert len(found) == 3
