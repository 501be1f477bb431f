from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from shared.links.models import AccessLink
from sponsors.matching.actions import match_open
from sponsors.models import Gives
from sponsors.portal.queries import (
    fitting,
    own_pledges,
    sponsor_of_link,
    sponsor_of_stop,
    sponsor_of_user,
    wish,
    wishes,
)
from sponsors.register.actions import give_portal_link, stop_link
from tests.factories.shared import TODAY, make_program, make_user
from tests.factories.sponsors import make_contact, make_pledge, make_sponsor
from tests.factories.vehicles import make_need
from tests.sponsors.gates import make_gated, paid_for

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

pytestmark = pytest.mark.django_db


def test_needs_stand_by_tier_and_then_by_age() -> None:
    late = make_need(tier=3)
    young, old = make_need(tier=1), make_need(tier=1, opened_on=TODAY - dt.timedelta(days=4))
    shown = wishes(make_program())
    assert [one.need.id for one in shown] == [old.pk, young.pk, late.pk]


def test_a_need_that_a_part_is_kept_for_is_not_shown_to_sponsors() -> None:
    kept, open_ = make_need(tier=1), make_need(tier=2, quantity=2)
    make_pledge(quantity=2)
    match_open(program=kept.program, today=TODAY)
    assert [(one.need.id, one.units) for one in wishes(kept.program)] == [(open_.pk, 1)]
    assert wish(kept.program, kept.pk) is None


def test_a_need_of_another_program_is_not_shown() -> None:
    need = make_need()
    assert wish(make_program(name="Another garage"), need.pk) is None
    found = wish(need.program, need.pk)
    assert found is not None
    assert found.title == "Radiator, 2012 Toyota Corolla"


def test_what_is_given_divides_the_needs() -> None:
    sponsor = make_sponsor()
    Gives.objects.create(
        program=sponsor.program, sponsor=sponsor, system="cooling", part_kind="water_pump"
    )
    pump, radiator = make_need(kind="water_pump"), make_need()
    own, others = fitting(sponsor, wishes(sponsor.program))
    assert [one.need.id for one in own] == [pump.pk]
    assert [one.need.id for one in others] == [radiator.pk]


def test_a_link_a_user_and_a_stop_lead_to_their_sponsor_and_no_other() -> None:
    contact = make_contact()
    sponsor = contact.sponsor
    link, stop = give_portal_link(sponsor=sponsor, by=None), stop_link(sponsor)
    assert sponsor_of_link(link) == sponsor
    assert sponsor_of_user(contact.user) == sponsor
    assert sponsor_of_stop(stop) == sponsor
    assert (sponsor_of_link(stop), sponsor_of_stop(link)) == (None, None)
    assert sponsor_of_user(make_user()) is None
    assert AccessLink.objects.count() == 2


def test_own_pledges_are_those_of_one_sponsor() -> None:
    pledge = make_pledge()
    make_pledge()
    assert [row.id for row in own_pledges(pledge.sponsor)] == [pledge.pk]


def test_what_waits_behind_a_gate_is_shown_once_the_gate_is_paid_for() -> None:
    gate, small = make_gated()
    assert [one.need.id for one in wishes(gate.program)] == [gate.pk]
    assert wish(gate.program, small.pk) is None
    paid_for(gate)
    assert {one.need.id for one in wishes(gate.program)} == {gate.pk, small.pk}


def test_what_waits_behind_a_gate_is_shown_once_a_part_is_kept_for_the_gate() -> None:
    gate, small = make_gated()
    make_pledge(kind="head_gasket", system="engine")
    match_open(program=gate.program, today=TODAY)
    assert [one.need.id for one in wishes(gate.program)] == [small.pk]


@pytest.mark.parametrize("count", [1, 3])
def test_needs_are_read_in_a_fixed_number_of_queries(
    count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for _ in range(count):
        make_need()
    program = make_program()
    with django_assert_num_queries(8):
        assert len(wishes(program)) == count
