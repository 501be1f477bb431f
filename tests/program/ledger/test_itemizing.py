"""The lines of an entry before it is written."""

from __future__ import annotations

from typing import Any

import pytest

from program.ledger.itemizing import (
    Event,
    Line,
    lines_of,
    pure,
    releases,
    spends,
    stored,
    two_needed,
)
from program.ledger.models import Proposal
from tests.factories import TODAY, make_case, make_fund, make_item, make_program, make_user

pytestmark = pytest.mark.django_db
EVENT = Event(key="form:1", on=TODAY, what="Front pads")


def line(**fields: Any) -> Line:
    defaults: dict[str, Any] = {"debit": "6010", "credit": "1010", "cents": 4_000}
    return Line(**defaults | {"fund": fields.pop("fund", None) or make_fund()} | fields)


def test_a_line_is_a_transfer_of_its_event() -> None:
    one = line()
    moved = pure(one, EVENT)
    assert (moved.entry, moved.on, moved.cents, moved.fund) == (
        "form:1",
        TODAY,
        4_000,
        one.fund.code,
    )


def test_a_cost_is_a_spend_and_a_gift_is_none() -> None:
    assert [spend.kind for spend in spends(line(), EVENT)] == ["parts"]
    assert spends(line(debit="1010", credit="4010"), EVENT) == []


def test_what_restricted_money_pays_for_is_released_in_its_fund() -> None:
    gift = make_fund(restricted=True)
    [free] = releases([line(fund=gift), line()])
    assert (free.debit, free.credit, free.cents, free.fund) == ("3210", "3220", 4_000, gift)
    assert releases([line(fund=gift), free]) == []


def test_large_purchases_of_one_entry_need_two_people_together() -> None:
    fund = make_fund()
    program = make_program()
    assert two_needed(program, EVENT, [line(fund=fund, cents=100_000)]) is None
    both = [line(fund=fund, cents=60_000), line(fund=fund, cents=60_000)]
    assert two_needed(program, EVENT, both) is not None


def test_a_proposal_gives_back_the_lines_that_were_typed() -> None:
    case, item = make_case(), make_item()
    typed = [line(case=case, item=item, function="program", memo="two"), line()]
    proposal = Proposal(
        program=make_program(),
        key="form:1",
        on=TODAY,
        what="Front pads",
        lines=[stored(one) for one in typed],
        why="It is large.",
        by=make_user(),
    )
    assert lines_of(proposal) == typed
