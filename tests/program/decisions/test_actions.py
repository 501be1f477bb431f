"""Asking for what goes beyond an authorization."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest

from program.decisions import actions
from tests.factories import make_user
from tests.program.decisions.story import (
    add_work,
    ask,
    authorize,
    make_car,
    make_over,
    make_photo,
    make_supplement,
    refusal,
)

if TYPE_CHECKING:
    from program.models import Supplement

pytestmark = pytest.mark.django_db


def test_a_supplement_asks_for_what_goes_beyond() -> None:
    row = make_supplement()
    found = (row.number, row.cents, row.to_go_cents, row.spent_cents, row.state)
    assert found == (1, 5_000, 15_000, 0, "asked")
    assert [one.title for one in row.items.all()] == ["Front rotors"]
    assert row.authorization.intake.estimates.count() == 2


def test_a_supplement_sent_twice_is_asked_once() -> None:
    _, stay, item = make_over()
    key = uuid4()
    assert ask(stay, item, client_key=key) == ask(stay, item, client_key=key)
    assert refusal(ask, stay, item) == ["Supplement 1 waits for its answers already."]


def test_a_photo_of_another_car_is_refused() -> None:
    _, stay, item = make_over()
    _, other = make_car()
    sentence = ["The photo has to show this car, on this stay."]
    assert refusal(ask, stay, item, photo=make_photo(other)) == sentence
    voided = make_photo(stay, voided_at="2026-11-30T12:00:00Z", voided_because="Blurred.")
    assert refusal(ask, stay, item, photo=voided) == sentence


def test_work_that_is_not_open_on_this_car_is_refused() -> None:
    _, stay, item = make_over()
    _, other = make_car()
    sentence = ["Tick work that is open on this car."]
    assert refusal(ask, stay, item, items=[other.items.get()]) == sentence
    assert refusal(ask, stay, item, items=[item, other.items.get()]) == sentence
    assert refusal(ask, stay, item, items=[]) == sentence


def test_figures_that_changed_are_looked_at_again() -> None:
    _, stay, item = make_over()
    sentence = "The figures have changed since they were shown. Look at them again, then ask."
    assert refusal(ask, stay, item, seen="14999:180") == [sentence]


def test_a_slip_of_the_finger_in_a_price_is_refused() -> None:
    _, stay, item = make_over()
    item.needs.update(price_cents=10**11)
    sentence = "$1,000,000,000.00 more is no repair: at most $100,000.00. Look at the prices."
    assert refusal(ask, stay, item) == [sentence]


def test_nothing_is_asked_for_work_that_was_authorized() -> None:
    case, stay = make_car()
    item = stay.items.get()
    assert refusal(ask_without, stay, item) == ["Nothing is authorized on this stay yet."]
    authorize(case, stay)
    assert refusal(ask, stay, item) == ["Nothing goes beyond what was authorized."]
    free = add_work(stay, 0, title="Free wiper")
    assert ask(stay, free).cents == 0


def ask_without(stay: Any, item: Any) -> Supplement:
    return actions.ask_supplement(
        intake=stay,
        items=[item],
        reason="More.",
        photo=make_photo(stay),
        seen="0:0",
        client_key=uuid4(),
        by=make_user(),
    )
