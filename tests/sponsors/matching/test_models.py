from __future__ import annotations

import pytest
from django.utils import timezone

from sponsors.models import Reservation
from tests.factories.sponsors import make_pledge
from tests.factories.vehicles import make_need
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def reservation(**fields: object) -> Reservation:
    usual = {"made_for": "matching", "because": "It fits."}
    need = make_need()
    return Reservation(program=need.program, need=need, **usual | fields)


def test_a_unit_is_kept_for_one_need() -> None:
    unit = make_pledge().units.get()
    reservation(supply=unit).save()
    sentence = "This unit is kept for another need already."
    assert_refused(reservation(supply=unit), "reservation_one_need_a_unit", sentence)


def test_a_unit_that_was_freed_can_be_kept_again() -> None:
    unit = make_pledge().units.get()
    reservation(supply=unit, freed_at=timezone.now()).save()
    second = reservation(supply=unit)
    second.save()
    assert list(Reservation.objects.standing()) == [second]
    assert str(second) == "Radiator, Toyota Corolla 2009 to 2013 for Radiator"


@pytest.mark.parametrize(("made_for", "said"), [("plan:5", "plan 5"), ("matching", "matching")])
def test_what_settled_a_match_is_said_in_words(made_for: str, said: str) -> None:
    assert reservation(made_for=made_for).settled_by == said
