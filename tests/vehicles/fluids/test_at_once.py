"""Two technicians at the same moment at one fluid."""

from __future__ import annotations

from functools import partial
from uuid import uuid4

import pytest

from tests.at_once import at_once
from tests.factories import make_intake
from tests.vehicles.fluids.rows import read, say_maker, technician, top_up
from vehicles.fluids.levels import Level
from vehicles.models import Finding, FluidReading, FluidRule, TopUp

pytestmark = pytest.mark.django_db(transaction=True)


def test_one_reading_is_topped_up_once() -> None:
    stay = make_intake()
    say_maker(stay)
    row = read(stay, Level.NONE)
    pour = partial(top_up, row, by=technician(stay))
    assert at_once(*[partial(pour, client_key=uuid4()) for _ in "ab"]) == [
        "1/2 qt went in after this reading. Read it again before more goes in."
    ]
    assert TopUp.objects.count() == 1


def test_what_is_sent_twice_with_one_key_is_one() -> None:
    stay, key = make_intake(), uuid4()
    say_maker(stay)
    by = technician(stay)
    assert at_once(*[partial(read, stay, Level.NONE, client_key=key, by=by)] * 2) == []
    row = FluidReading.objects.get()
    assert at_once(*[partial(top_up, row, client_key=key, by=by)] * 2) == []
    assert (TopUp.objects.count(), Finding.objects.count()) == (1, 1)


def test_the_maker_says_one_thing() -> None:
    stay = make_intake()
    ask = partial(say_maker, stay, by=technician(stay))
    assert at_once(*[partial(ask, specification=one) for one in ("0W-20", "5W-30")]) == [
        "Somebody else recorded what the maker says meanwhile. Look, then record again."
    ]
    assert FluidRule.objects.count() == 1
