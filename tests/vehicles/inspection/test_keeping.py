"""Beginning, ending and taking over an inspection; setting and ending a local limit."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.roles import RoleKind
from shared.models import Event, User
from tests.factories import TODAY, make_intake, make_program, make_reading, make_user
from vehicles.inspection.catalogue import load
from vehicles.inspection.depths import Depth
from vehicles.inspection.gathering import sheet_of
from vehicles.inspection.keeping import (
    begin_inspection,
    end_inspection,
    end_limit,
    set_limit,
    take_over,
)
from vehicles.models import Inspection, Intake, LocalLimit

pytestmark = pytest.mark.django_db


def technician(name: str = "Sten") -> User:
    return make_user(RoleKind.TECHNICIAN, first_name=name, last_name="Ode")


def begin(stay: Intake, depth: Depth = Depth.FULL, **fields: Any) -> Inspection:
    by = fields.pop("by", None) or technician()
    return begin_inspection(intake=stay, depth=depth, by=by, **fields)


def refusal(act: Any, *args: Any, **kwargs: Any) -> list[str]:
    with pytest.raises(ValidationError) as refused:
        act(*args, **kwargs)
    return refused.value.messages


def test_whoever_begins_a_sheet_has_it_in_hand() -> None:
    stay, user = make_intake(), technician()
    row = begin(stay, Depth.LOOK, by=user)
    assert (row.begun_by, row.hands, row.odometer_mi) == (user, user, None)
    assert Event.objects.about("intake", stay.pk).get().what == "20-minute look: begun."


def test_one_sheet_is_open_at_a_time() -> None:
    stay = make_intake()
    begin(stay, Depth.LOOK)
    assert refusal(begin, stay) == [
        "20-minute look: open already, Sten Ode has it in hand. Take it over, or end it first."
    ]
    assert Inspection.objects.count() == 1


def test_nothing_is_begun_on_a_stay_that_ended_or_without_consent_or_by_a_stranger() -> None:
    assert refusal(begin, make_intake(left_on=TODAY)) == [
        "This stay has ended. Open a new intake to read the car again."
    ]
    assert refusal(begin, make_intake(consents=())) != []
    assert refusal(begin, make_intake(), by=make_user(first_name="Imke", last_name="R")) == [
        "Imke R is not on the list of people who work in the shop."
    ]
    assert Inspection.objects.count() == 0


def test_the_final_sheet_notes_the_odometer_and_never_less_than_before() -> None:
    stay = make_intake(odometer_mi=148_190)
    assert refusal(begin, stay, Depth.FINAL) == [
        "The final sheet needs the odometer: its readings expire by miles."
    ]
    assert refusal(begin, stay, Depth.FINAL, odometer_mi=148_189) == [
        "148,189 is less than the 148,190 miles read before."
    ]
    first = begin(stay, Depth.FINAL, odometer_mi=148_230)
    end_inspection(inspection=first, by=technician())
    assert refusal(begin, stay, Depth.FINAL, odometer_mi=148_229) == [
        "148,229 is less than the 148,230 miles read before."
    ]


def test_ending_a_sheet_notes_how_much_stays_unread() -> None:
    stay, user = make_intake(), technician()
    row = begin(stay, Depth.LOOK, by=user)
    make_reading(intake=stay, criterion="tire-tread", position="LF")
    unread = sum(section.unread for section in sheet_of(stay).sections)
    ended = end_inspection(inspection=row, by=user)
    assert (ended.unread, ended.ended_by, ended.stopped_because) == (unread, user, "")
    assert refusal(end_inspection, inspection=row, by=user) == ["20-minute look: ended already."]


def test_a_look_that_found_what_ends_it_says_so() -> None:
    stay = make_intake()
    row = begin(stay, Depth.LOOK)
    reason = next(one for one in load()["structure"].reasons if one.stops)
    sentence = f"{reason.text}."
    make_reading(
        intake=stay,
        criterion="structure",
        position="",
        typed=reason.key,
        reason_key=reason.key,
        sentence=sentence,
    )
    ended = end_inspection(inspection=row, by=technician())
    assert ended.stopped_because == f"{load()['structure'].title}: {sentence}"


def test_another_technician_takes_over_and_the_log_says_so() -> None:
    stay, other = make_intake(), technician("Runa")
    row = take_over(inspection=begin(stay), by=other)
    assert (row.hands, row.version) == (other, 2)
    assert take_over(inspection=row, by=other).version == 2
    log = Event.objects.about("intake", stay.pk)
    assert [event.what for event in log] == ["Full sheet: taken over.", "Full sheet: begun."]
    assert log[0].by == other


def test_a_stranger_to_the_shop_takes_over_nothing() -> None:
    row = begin(make_intake())
    assert refusal(take_over, inspection=row, by=make_user(first_name="Imke", last_name="R")) == [
        "Imke R is not on the list of people who work in the shop."
    ]


def limit(**fields: Any) -> LocalLimit:
    defaults: dict[str, Any] = {
        "criterion": "tire-tread",
        "reason": "5.2.3 e.2",
        "typed": "4/32 in",
        "since_on": make_program().today(),
        "because": "The state asks for more.",
        "source": "",
        "by": make_user(),
    }
    return set_limit(**defaults | fields)


def test_a_stricter_limit_is_set_with_its_reason() -> None:
    row = limit()
    assert (row.typed, row.because) == ("4/32 in", "The state asks for more.")
    assert Event.objects.about("locallimit", row.pk).get().reason == "The state asks for more."


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"typed": "bald"}, "“bald” is not a number."),
        ({"typed": "2"}, "2/32 in already is the limit of “Tread depth”."),
        (
            {"typed": "1"},
            (
                "1/32 in is looser than the shipped 2/32 in. "
                "Name the section of the law that allows it."
            ),
        ),
        ({"criterion": "tire-color"}, "“tire-color” is not a criterion of the catalogue."),
        ({"because": ""}, "This field cannot be blank."),
    ],
)
def test_a_limit_that_can_not_be_is_refused(fields: dict[str, str], sentence: str) -> None:
    assert refusal(limit, **fields) == [sentence]
    assert LocalLimit.objects.count() == 0


def test_a_looser_limit_needs_the_section_of_the_law() -> None:
    assert limit(typed="1", source="State code 7, section 2").source == "State code 7, section 2"


def test_a_limit_ends_with_a_reason_and_stays_on_record() -> None:
    row, user = limit(), make_user()
    assert refusal(end_limit, limit=row, because=" ", by=user) == ["Say why the limit ends."]
    ended = end_limit(limit=row, because="The law was repealed.", by=user)
    assert ended.ended_on == make_program().today()
    assert refusal(end_limit, limit=row, because="Again.", by=user) == [
        f"This limit ended on {ended.ended_on}."
    ]


def test_a_limit_that_has_not_begun_ends_on_its_first_day() -> None:
    row = limit(since_on=make_program().today() + dt.timedelta(days=3))
    assert end_limit(limit=row, because="Too early.", by=make_user()).ended_on == row.since_on
