"""Ticking, shutting and opening months; what is said of duties."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from program.closing.actions import (
    open_month,
    record_duty,
    shut_month,
    tick_step,
    undo_duty,
    undo_step,
)
from program.closing.kinds import StepKind
from program.closing.queries import ticks
from program.ledger.actions import Event as Booked
from program.ledger.actions import Line, post_entry
from program.models import CloseStep, DutyDone, Entry, ShutMonth
from shared.audit.models import Event
from tests.factories import make_entry, make_fund, make_program, make_user
from tests.program.closing.months import (
    NOVEMBER,
    OCTOBER,
    SEPTEMBER,
    gift,
    shut,
    tick_all,
    treasurer,
)

pytestmark = pytest.mark.django_db


def refused(call: Any, **fields: Any) -> list[str]:
    """Return the sentences with which an action refuses."""
    with pytest.raises(ValidationError) as refusal:
        call(**{"program": make_program(), "by": make_user()} | fields)
    return refusal.value.messages


def tick(kind: StepKind, **fields: Any) -> CloseStep:
    defaults: dict[str, Any] = {
        "program": make_program(),
        "month": OCTOBER,
        "kind": kind,
        "by": make_user(),
    }
    return tick_step(**defaults | fields)


# ---- the list ----


def test_a_tick_names_the_person_and_stands_in_the_log() -> None:
    user = make_user()
    row = tick(StepKind.CORES, note=" Two boxes. ", by=user)
    assert (row.by, row.note, row.month) == (user, "Two boxes.", OCTOBER)
    line = Event.objects.about("closestep", row.pk)[0]
    assert (line.what, line.by) == ("Ticked: core deposits, October 2026.", user)


def test_a_line_is_ticked_once() -> None:
    tick(StepKind.CORES)
    sentence = "This line of the list is done already."
    assert refused(tick_step, month=OCTOBER, kind=StepKind.CORES) == [sentence]


def test_a_line_that_looks_open_is_ticked_only_with_a_note() -> None:
    make_entry(("1010", "1230", 22_00, make_fund()), on=OCTOBER)
    sentence = "The books don’t agree. Say why it may stand as it is."
    assert refused(tick_step, month=OCTOBER, kind=StepKind.CORES, note=" ") == [sentence]
    tick(StepKind.CORES, note="A core of last year.")


def test_a_line_with_nothing_to_check_is_ticked_as_well() -> None:
    assert tick(StepKind.SHELF).note == ""


def test_a_tick_is_taken_back_with_a_reason_and_stays_on_record() -> None:
    tick(StepKind.CORES)
    asked: dict[str, Any] = {"month": OCTOBER, "kind": StepKind.CORES}
    assert refused(undo_step, because=" ", **asked) == ["Say why the tick is taken back."]
    undo_step(program=make_program(), because="A slip came.", by=make_user(), **asked)
    assert ticks(make_program(), OCTOBER) == {}
    assert CloseStep.objects.get().undone_because == "A slip came."
    assert refused(undo_step, because="Again.", **asked) == ["This line of the list is not ticked."]
    tick(StepKind.CORES)


# ---- shutting ----


def test_a_month_is_shut_when_all_of_it_is_ticked() -> None:
    user = treasurer()
    gift(OCTOBER)
    row = shut(OCTOBER, user)
    assert (row.month, row.shut_by, row.opened_at) == (OCTOBER, user, None)
    line = Event.objects.about("shutmonth", row.pk)[0]
    assert line.what == "October 2026 was shut."
    assert refused(shut_month, month=OCTOBER) == ["This month is shut already."]


def test_a_month_that_is_not_over_stays_open() -> None:
    tick_all(NOVEMBER, make_user())
    sentence = "November 2026 is not over: its last day is Monday, November 30."
    assert refused(shut_month, month=NOVEMBER) == [sentence]


def test_each_line_left_stands_in_the_way() -> None:
    for kind in StepKind:
        if kind not in (StepKind.BANK, StepKind.SHELF):
            tick(kind, note="Seen.")
    assert refused(shut_month, month=OCTOBER) == ["Not ticked: bank and shelf count."]
    assert ShutMonth.objects.count() == 0


def test_months_are_shut_in_their_order_and_months_without_entries_count_for_nothing() -> None:
    user = treasurer()
    gift(date(2026, 7, 9))
    gift(SEPTEMBER)
    tick_all(OCTOBER, user)
    sentence = "Earlier months are open: July 2026 and September 2026."
    assert refused(shut_month, month=OCTOBER) == [sentence]
    shut(date(2026, 7, 1), user)
    shut(SEPTEMBER, user)
    shut_month(program=make_program(), month=OCTOBER, by=user)
    months = ShutMonth.objects.order_by("month").values_list("month", flat=True)
    assert [month.month for month in months] == [7, 9, 10]


def test_a_shut_month_keeps_its_ticks_as_they_are() -> None:
    user = treasurer()
    shut(OCTOBER, user)
    sentence = ["October 2026 is shut. Open it first, with a reason."]
    asked: dict[str, Any] = {"month": OCTOBER, "kind": StepKind.BANK}
    assert refused(undo_step, because="A slip.", **asked) == sentence
    assert refused(tick_step, **asked) == sentence


def test_nothing_is_booked_in_a_shut_month() -> None:
    fund = gift(OCTOBER)
    shut(OCTOBER, treasurer())
    before = Entry.objects.count()
    line = Line(debit="6050", credit="1010", cents=5_00, fund=fund)
    event = Booked(key="bill:1", on=date(2026, 10, 31), what="Rags")
    for fact in (False, True):
        with pytest.raises(ValidationError, match="October 2026"):
            post_entry(program=make_program(), event=event, lines=[line], by=None, fact=fact)
    assert Entry.objects.count() == before


# ---- opening ----


def test_a_treasurer_opens_a_month_again_with_a_reason() -> None:
    user = treasurer()
    shut(OCTOBER, user)
    row = open_month(program=make_program(), month=OCTOBER, reason=" A late bill. ", by=user)
    assert (row.opened_by, row.reason) == (user, "A late bill.")
    line = Event.objects.about("shutmonth", row.pk)[0]
    assert (line.what, line.reason) == ("October 2026 was opened again.", "A late bill.")
    again = shut_month(program=make_program(), month=OCTOBER, by=user)
    assert (again.pk != row.pk, ShutMonth.objects.count()) == (True, 2)


def test_others_and_empty_reasons_open_nothing() -> None:
    user = treasurer()
    shut(OCTOBER, user)
    only = ["Only a treasurer opens a month again."]
    assert refused(open_month, month=OCTOBER, reason="A bill.") == only
    why = ["Say why the month is opened again."]
    assert refused(open_month, month=OCTOBER, reason=" ", by=user) == why
    assert ShutMonth.objects.get().opened_at is None


def test_the_newest_month_is_opened_first() -> None:
    user = treasurer()
    shut(SEPTEMBER, user)
    shut(OCTOBER, user)
    asked: dict[str, Any] = {"reason": "A late bill.", "by": user}
    assert refused(open_month, month=SEPTEMBER, **asked) == [
        "October 2026 is shut after it. Open the later months first, the newest first."
    ]
    for month in (OCTOBER, SEPTEMBER):
        open_month(program=make_program(), month=month, **asked)
    assert refused(open_month, month=SEPTEMBER, **asked) == ["September 2026 is not shut."]


# ---- duties ----


def done(**fields: Any) -> DutyDone:
    defaults: dict[str, Any] = {
        "year": 2026,
        "code": "form-990",
        "on": date(2026, 5, 4),
        "note": "",
        "applies": True,
        "by": make_user(),
    }
    return record_duty(**defaults | fields)


def test_a_duty_is_done_by_a_person_on_a_day() -> None:
    row = done(note=" By the accountant. ")
    assert (row.code, row.on, row.note) == ("form-990", date(2026, 5, 4), "By the accountant.")
    assert Event.objects.about("dutydone", row.pk)[0].what == "Duty done: form-990, 2026."


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"code": "tea"}, "There is no such duty."),
        ({"on": date(2026, 12, 1)}, "Tuesday, December 1, 2026, has not come yet."),
        (
            {"on": date(2024, 12, 31)},
            "Tuesday, December 31, 2024, is too early for 2026: 2025 is the earliest.",
        ),
        ({"applies": False}, "Say why the duty does not apply."),
    ],
)
def test_a_duty_is_refused(fields: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ValidationError) as refusal:
        done(**fields)
    assert refusal.value.messages == [sentence]


def test_a_duty_may_be_done_before_its_year_begins() -> None:
    assert done(on=date(2025, 12, 15)).on == date(2025, 12, 15)


def test_nobody_without_a_program_says_that_a_duty_is_done() -> None:
    stranger = make_user()
    stranger.program = None
    with pytest.raises(ValidationError) as refusal:
        done(by=stranger)
    assert refusal.value.messages == ["Only somebody of a program can say this."]


def test_a_duty_is_done_once_and_taken_back_once() -> None:
    done()
    with pytest.raises(ValidationError) as refusal:
        done()
    assert refusal.value.messages == ["This duty is done already."]
    asked: dict[str, Any] = {"year": 2026, "code": "form-990"}
    undo_duty(program=make_program(), by=make_user(), **asked)
    assert refused(undo_duty, **asked) == ["Nothing is on record of this duty."]
    done()
    assert DutyDone.objects.filter(undone_at=None).count() == 1
