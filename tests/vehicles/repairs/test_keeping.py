"""What is written down of a need."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from django.core.exceptions import ValidationError

from shared.models import Event
from tests.factories import TODAY, make_item, make_need, make_program, make_user
from vehicles.repairs.ages import Worn
from vehicles.repairs.keeping import (
    ASKED,
    CHANGED,
    Checked,
    Seen,
    record_fit,
    set_conditions,
    set_needed_by,
    take_asking,
)

if TYPE_CHECKING:
    from vehicles.models import Need

pytestmark = pytest.mark.django_db
BY = dt.date(2026, 12, 4)


def said(need: Need) -> list[str]:
    return [event.what for event in Event.objects.about("need", need.pk)]


def pads() -> Need:
    return make_need(kind="brake_pads", system="brakes")


def test_a_plan_writes_by_when_its_parts_are_needed() -> None:
    first, second = make_need(), make_need()
    changed = set_needed_by(
        program=first.program, days={first.pk: BY, second.pk: BY}, by=make_user()
    )
    assert changed == [first, second]
    first.refresh_from_db()
    assert (first.needed_by_on, first.version) == (BY, 2)
    assert said(first) == ["The day was set by which it is needed."]


def test_the_same_day_again_changes_nothing_and_none_takes_it_away() -> None:
    need = make_need(needed_by_on=BY)
    assert set_needed_by(program=need.program, days={need.pk: BY}, by=None) == []
    assert set_needed_by(program=need.program, days={need.pk: None}, by=None) == [need]
    need.refresh_from_db()
    assert need.needed_by_on is None


def test_a_need_that_is_closed_or_of_another_program_keeps_its_day() -> None:
    need, closed = make_need(), make_need(state="filled")
    days = {need.pk: BY, closed.pk: BY, 999_999: BY}
    assert set_needed_by(program=make_program(name="Other"), days=days, by=None) == []
    assert set_needed_by(program=need.program, days=days, by=None) == [need]


def test_what_a_part_may_be_is_kept_in_one_order() -> None:
    need = set_conditions(need=make_need(), version=1, may_be=["used", "new"], by=make_user())
    need.refresh_from_db()
    assert (need.may_be, need.version) == (["new", "used"], 2)


def test_a_condition_that_the_rules_refuse_is_refused() -> None:
    with pytest.raises(ValidationError) as refusal:
        set_conditions(need=pads(), version=1, may_be=["used"], by=make_user())
    assert refusal.value.message_dict == {
        "may_be": ["A used brake pad, shoe or lining is not taken."]
    }


def test_a_stale_or_closed_need_is_not_changed() -> None:
    with pytest.raises(ValidationError, match=CHANGED):
        set_conditions(need=make_need(), version=7, may_be=[], by=make_user())
    with pytest.raises(ValidationError, match="This need is not open any more"):
        set_conditions(need=make_need(state="filled"), version=1, may_be=[], by=make_user())


def test_who_finds_it_out_stands_in_the_log_with_the_day() -> None:
    need, user = make_need(), make_user()
    until = need.program.today() + dt.timedelta(days=2)
    take_asking(need=need, until=until, by=user)
    event = Event.objects.about("need", need.pk).get()
    assert (event.what, event.by, event.reason) == (ASKED, user, until.isoformat())


@pytest.mark.parametrize("days", [-1, 31])
def test_a_day_that_is_past_or_far_away_is_refused(days: int) -> None:
    need = make_need()
    until = need.program.today() + dt.timedelta(days=days)
    with pytest.raises(ValidationError) as refusal:
        take_asking(need=need, until=until, by=make_user())
    assert refusal.value.message_dict == {"until": ["Type a day within 30 days from today."]}


def test_the_number_from_the_counter_goes_into_the_fitment() -> None:
    need = pads()
    record_fit(need=need, said=Seen(how="COUNTER", part_number=" BP  77 "), by=make_user())
    need.refresh_from_db()
    assert need.fitment["part_number"] == "BP 77"
    assert (need.fitment["make"], said(need)) == ("Toyota", [Checked.COUNTER.value])


def test_held_against_the_old_part_needs_no_number() -> None:
    need = record_fit(need=pads(), said=Seen(how="OLD_PART"), by=make_user())
    assert ("part_number" in need.fitment, said(need)) == (False, [Checked.OLD_PART.value])


@pytest.mark.parametrize(
    ("how", "field", "sentence"),
    [
        ("COUNTER", "part_number", "Type the number that the counter named."),
        ("guessed", "how", "Say how it was found out."),
    ],
)
def test_a_look_up_without_a_number_or_way_is_refused(how: str, field: str, sentence: str) -> None:
    with pytest.raises(ValidationError) as refusal:
        record_fit(need=pads(), said=Seen(how=how, part_number=" "), by=make_user())
    assert refusal.value.message_dict == {field: [sentence]}


def test_a_unit_of_which_a_person_made_sure_is_kept_with_the_car() -> None:
    need, user = make_need(), make_user()
    for unit in (7, 9, 7):
        record_fit(need=need, said=Seen(how="OLD_PART", unit=unit), by=user)
    need.refresh_from_db()
    assert need.car["sure"] == [["radiator", "7"], ["radiator", "9"]]
    assert (need.car["make"], need.version) == ("Toyota", 4)


def test_a_used_one_is_looked_at_and_not_only_looked_up() -> None:
    said_of = Seen(how="COUNTER", part_number="BP 77", unit=7, used=True)
    with pytest.raises(ValidationError) as refusal:
        record_fit(need=make_need(), said=said_of, by=make_user())
    assert refusal.value.message_dict == {
        "how": ["It is used: a number says nothing of its wear. Look at it."]
    }


def test_a_used_tire_is_taken_only_as_the_rule_says() -> None:
    need = make_need(kind="tire", title="Tire", system="tires")
    made_on = need.program.today() - dt.timedelta(days=400)
    bald = Seen(how="OLD_PART", unit=7, used=True, worn=Worn(tread_32nds=4, made_on=made_on))
    with pytest.raises(ValidationError) as refusal:
        record_fit(need=need, said=bald, by=make_user())
    assert list(refusal.value.message_dict) == ["tread_32nds"]
    record_fit(
        need=need, said=replace(bald, worn=replace(bald.worn, tread_32nds=7)), by=make_user()
    )
    [event] = Event.objects.about("need", need.pk)
    assert event.reason.startswith("7/32 in of tread, made ")


def test_needs_of_one_item_are_changed_alone() -> None:
    item = make_item(system="cooling", title="Radiator")
    one, other = make_need(item=item), make_need(item=item)
    set_conditions(need=one, version=1, may_be=["new"], by=make_user())
    other.refresh_from_db()
    assert (other.may_be, other.opened_on <= TODAY) == ([], True)
