from __future__ import annotations

import pytest

from sponsors.models import Appeal, Gives, Supply
from sponsors.pledges.states import PledgeState, SupplyState
from sponsors.register.queries import (
    AppealLine,
    PledgeLine,
    appeals_in_words,
    in_words,
    pledges_in_words,
    sponsors_for,
)
from tests.factories.shared import make_user
from tests.factories.sponsors import make_pledge, make_sponsor

pytestmark = pytest.mark.django_db


def test_what_a_sponsor_gives_is_in_the_order_of_the_list_of_systems() -> None:
    rows = [
        Gives(system="battery", part_kind="battery_cable"),
        Gives(system="brakes"),
        Gives(system="cooling"),
    ]
    assert in_words(rows) == "Brakes, Cooling, Battery: battery cable"


def test_only_open_pledges_are_counted_and_sponsors_stand_by_name() -> None:
    second, first = make_sponsor(name="Tull Tires"), make_sponsor(name="Alder Glass")
    make_pledge(sponsor=second)
    make_pledge(sponsor=second, state=PledgeState.TAKEN_BACK)
    rows = sponsors_for(make_user())
    found = [(row.name, vars(row)["open_pledges"]) for row in rows]
    assert found == [(first.name, 0), (second.name, 1)]


def test_a_pledge_says_where_its_units_stand() -> None:
    pledge = make_pledge(quantity=3)
    Supply.objects.filter(pk=pledge.units.all()[0].pk).update(state=SupplyState.ON_SHELF)
    assert pledges_in_words(pledge.sponsor) == [
        PledgeLine(
            title=pledge.title,
            quantity=3,
            on=pledge.pledged_on,
            until=None,
            units="1 on shelf, 2 pledged",
        )
    ]


def test_an_appeal_says_what_became_of_it() -> None:
    sponsor = make_sponsor()
    appeal = Appeal.objects.create(
        program=sponsor.program, sponsor=sponsor, round="2026-W48", subject="Radiator", text="Hello"
    )
    assert appeals_in_words(sponsor) == [
        AppealLine(id=appeal.pk, round="2026-W48", subject="Radiator", became="drafted")
    ]
