from __future__ import annotations

import pytest

from sponsors.matching.actions import match_open
from sponsors.pledges.queries import pledges_for, with_needs
from sponsors.pledges.states import PledgeState
from sponsors.pledges.tables import PledgeTable
from tests.factories.shared import TODAY, make_program, make_user
from tests.factories.sponsors import make_pledge
from tests.factories.vehicles import make_need

pytestmark = pytest.mark.django_db


def cells(*names: str) -> list[tuple[str, ...]]:
    table = PledgeTable(with_needs(pledges_for(make_user())))
    return [tuple(str(row.get_cell(name)) for name in names) for row in table.rows]


def test_a_pledge_names_the_need_it_is_kept_for_and_what_became_of_it() -> None:
    make_need()
    make_pledge()
    match_open(program=make_program(), today=TODAY)
    assert cells("kept", "became") == [
        ("Radiator, 2012 Toyota Corolla", "Promised: we wait for it.")
    ]


def test_a_pledge_that_is_kept_for_nothing_has_a_dash() -> None:
    make_pledge()
    assert cells("kept") == [("–",)]


def test_only_a_pledge_that_stands_can_be_ended() -> None:
    stands = make_pledge()
    make_pledge(state=PledgeState.ARRIVED, pledged_on=stands.pledged_on.replace(day=1))
    (first,), (second,) = cells("end")
    assert f"/pledges/{stands.pk}/end/" in first
    assert second == ""
