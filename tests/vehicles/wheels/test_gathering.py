"""The shop on a day, as its page shows it."""

from __future__ import annotations

import pytest

from shared.audit.actions import log_event
from tests.factories import make_bay, make_program, make_user
from tests.vehicles.shop.rows import DAY, make_piece, today
from vehicles.inspection import catalogue
from vehicles.models import BayClosure
from vehicles.shop import duty
from vehicles.shop.kinds import EquipmentKind
from vehicles.wheels import gathering

pytestmark = pytest.mark.django_db


def page() -> gathering.ShopPage:
    return gathering.shop_page(make_program(), today(), duty.Lot(standing={}))


def test_the_gravest_comes_first_and_what_is_in_date_not_at_all() -> None:
    make_piece(name="fresh")
    make_piece(name="soon", due_on=today() + DAY)
    make_piece(name="late", due_on=today() - DAY)
    make_piece(name="tagged", tagged_out=True)
    make_piece(name="gone", tagged_out=True, retired_on=today())
    assert [str(one.sentence).split()[0] for one in page().due] == ["tagged", "late", "soon"]


def test_a_piece_in_a_bay_that_is_closed_for_good_stops_nothing() -> None:
    make_piece(bay=make_bay(closed_on=today()), due_on=today() - DAY)
    make_piece(name="Jack", bay=None, due_on=today() - DAY)
    assert [one.stops for one in page().due] == [None, None]


def test_a_bay_tells_who_stands_there_and_what_closes_it() -> None:
    bay = make_bay(name="Bay 1", has_lift=True)
    row = BayClosure.objects.create(
        program=bay.program, bay=bay, from_on=today(), until_on=today(), reason="Paint"
    )
    car = duty.Car(label="2011 Mazda 3", place="bay 1", rolls=False)
    lot = duty.lot([], [car, duty.Car(label="2012 Kia Soul")], today())
    found = gathering.shop_page(bay.program, today(), lot)
    [line] = found.bays
    assert (line.cars, line.closures, line.unregistered) == ((car,), (row,), True)
    assert (len(line.out), found.open_bays) == (1, 0)
    assert [one.label for one in found.elsewhere] == ["2012 Kia Soul"]
    assert found.astray == ()


def test_a_bay_whose_lift_is_on_the_list_says_nothing_of_it() -> None:
    make_piece()
    [line] = page().bays
    assert (line.has_lift, line.unregistered, line.out) == (True, False, ())


def test_each_caution_that_a_kind_names_is_in_the_catalogue() -> None:
    codes = {code for named in gathering.CAUTIONS.values() for code in named}
    assert codes <= set(catalogue.cautions())
    assert gathering.cautions_of(EquipmentKind.LIFT)[0].code == "lifting-hoist"
    assert gathering.cautions_of(EquipmentKind.OTHER) == ()


def test_the_history_of_a_piece_tells_what_why_and_by_whom() -> None:
    lift, user = make_piece(), make_user()
    log_event(lift, "It was tagged out.", by=user, reason="The lock slips.")
    [line] = gathering.history(lift)
    assert (line.sentence, line.by) == ("It was tagged out. The lock slips.", user)
