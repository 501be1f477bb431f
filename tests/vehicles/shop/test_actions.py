"""Bays and spaces are added, closed and opened, and what is refused."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.exceptions import ValidationError

from shared.audit.models import Event
from shared.dates import full_date
from tests.factories import make_bay, make_program, make_user
from tests.vehicles.shop.rows import DAY, today
from vehicles.models import Bay, BayClosure, Space
from vehicles.shop import actions
from vehicles.shop.keeping import CHANGED
from vehicles.shop.queries import bay_days

pytestmark = pytest.mark.django_db


def refused(action: Any, **arguments: Any) -> list[str]:
    before = [list(model.objects.values()) for model in (Bay, Space, BayClosure)]
    with pytest.raises(ValidationError) as refusal:
        action(by=make_user(), **arguments)
    assert [list(model.objects.values()) for model in (Bay, Space, BayClosure)] == before
    return refusal.value.messages


def close(bay: Bay, first: int = 0, last: int = 2, reason: str = "Paint") -> BayClosure:
    return actions.close_days(
        bay=bay,
        from_on=today() + first * DAY,
        until_on=today() + last * DAY,
        reason=reason,
        by=make_user(),
    )


def add_space(name: str = "Space 1") -> Space:
    return actions.add_space(
        program=make_program(), name=name, takes_dead=True, indoors=False, by=make_user()
    )


def test_a_bay_is_added_and_changed() -> None:
    bay = actions.add_bay(program=make_program(), name=" Bay  4 ", has_lift=False, by=make_user())
    actions.edit_bay(bay=bay, name="Bay 4", has_lift=True, version=1, by=make_user())
    bay.refresh_from_db()
    assert (bay.name, bay.has_lift, bay.version) == ("Bay 4", True, 2)
    assert [event.fields for event in Event.objects.order_by("pk")] == [[], ["has_lift"]]


def test_bays_and_spaces_share_no_name() -> None:
    """A car's place is noted by its name alone."""
    bay = make_bay(name="Bay 1")
    add_space()
    one = {"program": make_program(), "has_lift": False}
    assert refused(actions.add_bay, name="bay 1", **one) == ["Bay 1 is on the list already."]
    assert refused(actions.add_bay, name="Space 1", **one) == ["Space 1 is on the list already."]
    assert refused(actions.edit_bay, bay=bay, name="Space 1", has_lift=False, version=1) == [
        "Space 1 is on the list already."
    ]
    lot = {"program": make_program(), "takes_dead": False, "indoors": False}
    assert refused(actions.add_space, name="Bay 1", **lot) == ["Bay 1 is on the list already."]


def test_another_programs_bay_may_have_the_same_name() -> None:
    make_bay(name="Bay 1", program=make_program(name="Elsewhere"))
    other = make_program(name="Here")
    bay = actions.add_bay(program=other, name="Bay 1", has_lift=False, by=make_user())
    assert bay.program == other


def test_a_bay_is_out_on_the_days_for_which_it_is_closed() -> None:
    bay = make_bay()
    close(bay, 1, 2)
    days = [today() + number * DAY for number in range(4)]
    found = bay_days(bay.program, days)
    assert [bool(found[day]) for day in days] == [True, False, False, True]


def test_the_same_days_sent_again_are_closed_once() -> None:
    bay = make_bay()
    assert close(bay) == close(bay)
    assert (BayClosure.objects.count(), Event.objects.count()) == (1, 1)


@pytest.mark.parametrize(
    ("first", "last", "sentence"),
    [
        (2, 1, "The last day closed is not before the first."),
        (-5, -1, "{last}, is over."),
        (0, 367, "That is more than a year. Close the bay for good."),
        (9, 12, "{bay} is closed already until {closed}."),
    ],
)
def test_days_that_can_not_be_closed_are_refused(first: int, last: int, sentence: str) -> None:
    bay = make_bay()
    close(bay, 8, 10)
    with pytest.raises(ValidationError) as refusal:
        close(bay, first, last, "Floor")
    said = sentence.format(
        bay=bay, last=full_date(today() + last * DAY), closed=full_date(today() + 10 * DAY)
    )
    assert refusal.value.messages == [said]
    assert BayClosure.objects.count() == 1


def test_closing_for_some_days_needs_a_reason() -> None:
    with pytest.raises(ValidationError) as refusal:
        close(make_bay(), reason=" ")
    assert refusal.value.message_dict == {"reason": ["Say why it is closed."]}


def test_days_are_taken_back_once() -> None:
    closure = close(make_bay())
    first = actions.take_back(closure=closure, by=make_user()).ended_at
    assert actions.take_back(closure=closure, by=make_user()).ended_at == first
    assert close(closure.bay) != closure


def test_days_that_are_over_are_not_taken_back() -> None:
    bay, over = make_bay(), today() - DAY
    row = BayClosure.objects.create(
        program=bay.program, bay=bay, from_on=over, until_on=over, reason="Paint"
    )
    assert refused(actions.take_back, closure=row) == [f"{full_date(over)}, is over."]


def test_a_bay_is_closed_for_good_and_opened_again() -> None:
    bay = make_bay(name="Bay 1")
    actions.close_place(place=bay, because="The roof leaks", version=1, by=make_user())
    bay.refresh_from_db()
    assert (bay.closed_on, bay_days(bay.program, [today()])) == (today(), {today(): []})
    gone = [f"Bay 1 is closed since {full_date(today())}."]
    assert refused(actions.close_place, place=bay, because="Again", version=2) == gone
    days = {"from_on": today(), "until_on": today()}
    assert refused(actions.close_days, bay=bay, reason="Paint", **days) == gone
    assert refused(actions.reopen_place, place=bay, version=1) == [CHANGED]
    actions.reopen_place(place=bay, version=2, by=make_user())
    bay.refresh_from_db()
    assert bay.closed_on is None
    assert refused(actions.reopen_place, place=bay, version=3) == ["Bay 1 is open."]


def test_a_space_is_closed_with_its_reason_and_opened_again() -> None:
    space = add_space()
    assert refused(actions.close_place, place=space, because=" ", version=1) == [
        "Say why it is closed."
    ]
    actions.close_place(place=space, because="Snow is piled there", version=1, by=make_user())
    event = Event.objects.latest("pk")
    assert (event.what, event.reason) == ("The space was closed.", "Snow is piled there")
    actions.reopen_place(place=space, version=2, by=make_user())
    space.refresh_from_db()
    assert (space.closed_on, space.takes_dead) == (None, True)
