"""Two people at the same moment: one shuts, the other reads a sentence."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import Any
from uuid import uuid4

import pytest

from program.closing.actions import open_month, shut_month, tick_step
from program.closing.kinds import StepKind
from program.ledger.actions import Line, book
from program.models import CloseStep, Entry, ShutMonth
from tests.at_once import at_once
from tests.factories import make_program
from tests.program.closing.months import OCTOBER, gift, shut, tick_all, treasurer

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_month_is_shut_once() -> None:
    users = [treasurer(), treasurer()]
    tick_all(OCTOBER, users[0])
    calls = [partial(shut_month, program=make_program(), month=OCTOBER, by=user) for user in users]
    assert at_once(*calls) == ["This month is shut already."]
    assert ShutMonth.objects.count() == 1


def test_a_line_is_ticked_once() -> None:
    asked: dict[str, Any] = {"program": make_program(), "month": OCTOBER, "kind": StepKind.SHELF}
    calls = [partial(tick_step, by=treasurer(), **asked) for _ in range(2)]
    assert at_once(*calls) == ["This line of the list is done already."]
    assert CloseStep.objects.count() == 1


def test_a_month_is_opened_once() -> None:
    user = treasurer()
    shut(OCTOBER, user)
    asked: dict[str, Any] = {
        "program": make_program(),
        "month": OCTOBER,
        "reason": "A late bill.",
        "by": user,
    }
    call = partial(open_month, **asked)
    assert at_once(call, call) == ["October 2026 is not shut."]
    assert ShutMonth.objects.get().opened_by == user


def test_whoever_books_while_another_shuts_is_in_before_or_refused() -> None:
    fund, user = gift(OCTOBER), treasurer()
    tick_all(OCTOBER, user)
    lines = [Line(debit="6050", credit="1010", cents=5_00, fund=fund)]
    typed: dict[str, Any] = {"on": date(2026, 10, 31), "what": "Rags", "fact": False, "by": user}
    booking = [partial(book, lines=lines, key=uuid4(), **typed) for _ in range(3)]
    shutting = partial(shut_month, program=make_program(), month=OCTOBER, by=user)
    refused = at_once(*booking, shutting)
    row, late = ShutMonth.objects.get(), Entry.objects.filter(what="Rags")
    assert len(refused) == 3 - late.count()
    assert all("October 2026" in sentence for sentence in refused)
    assert [entry for entry in late if entry.made_at > row.shut_at] == []
