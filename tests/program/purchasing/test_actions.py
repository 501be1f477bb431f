"""A person makes sure that a part fits."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.core.exceptions import ValidationError

from program.purchasing.actions import make_sure
from shared.models import Job
from sponsors.matching.actions import reserve
from tests.factories import make_need, make_supply, make_user
from vehicles.repairs.ages import Worn

if TYPE_CHECKING:
    from sponsors.models import Reservation, Supply
    from vehicles.models import Need

pytestmark = pytest.mark.django_db


def keep(unit: Supply, need: Need) -> Reservation:
    return reserve(supply=unit, need=need, made_for="hand", because="It fits.", by=None)


def test_what_was_held_against_the_old_part_can_be_kept_for_the_need() -> None:
    need, unit, user = make_need(), make_supply(fitment={}), make_user()
    with pytest.raises(ValidationError, match="does not say which make and model"):
        keep(unit, need)
    make_sure(need=need, how="OLD_PART", part_number="", unit=unit, worn=Worn(), by=user)
    assert keep(unit, need).need == need
    assert list(Job.objects.values_list("kind", "key")) == [("match", f"match:sure:{need.pk}:2")]


def test_a_used_unit_is_read_first() -> None:
    need = make_need(kind="tire", title="Tire", system="tires")
    unit = make_supply(kind="tire", title="Tire", system="tires", fitment={}, used=True)
    with pytest.raises(ValidationError) as refusal:
        make_sure(need=need, how="OLD_PART", part_number="", unit=unit, worn=Worn(), by=make_user())
    assert list(refusal.value.message_dict) == ["tread_32nds", "made"]
    assert Job.objects.count() == 0
