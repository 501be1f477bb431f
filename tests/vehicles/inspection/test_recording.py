"""Who may record, on which sheet, by which limits; and points that can't be read."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shared.accounts.roles import RoleKind
from shared.models import Credential, Event, User
from tests.factories import TODAY, make_intake, make_user
from vehicles.inspection.actions import record_not_read, record_reading
from vehicles.inspection.catalogue import load
from vehicles.inspection.depths import Depth
from vehicles.inspection.keeping import begin_inspection
from vehicles.inspection.reading import Missed, Typed
from vehicles.models import Intake, LocalLimit, NotRead, Reading

pytestmark = pytest.mark.django_db
ENDED = "This stay has ended. Open a new intake to read the car again."


def technician(**fields: Any) -> User:
    return make_user(RoleKind.TECHNICIAN, **fields)


def record(stay: Intake, value: str, **fields: Any) -> Reading:
    defaults = {"criterion": "tire-tread", "position": "LF"}
    return record_reading(
        intake=stay, typed=Typed(value=value, **defaults | fields), by=technician()
    )


def refused(stay: Intake, value: str, **fields: Any) -> dict[str, list[str]]:
    before = Reading.objects.count()
    with pytest.raises(ValidationError) as refusal:
        record(stay, value, **fields)
    assert Reading.objects.count() == before
    return refusal.value.message_dict


def test_no_point_is_read_without_an_owners_consent() -> None:
    stay = make_intake(consents=())
    with pytest.raises(ValidationError) as refusal:
        record(stay, "5")
    assert refusal.value.messages != []
    assert Reading.objects.count() == 0


def test_the_road_test_takes_a_consent_and_papers_of_its_own() -> None:
    stay, typed = make_intake(consents=("diagnose",)), Typed(criterion="speedometer", value="good")
    with pytest.raises(ValidationError) as refusal:
        record_reading(intake=stay, typed=typed, by=technician())
    assert "road" in refusal.value.messages[0]
    user = technician(first_name="Sunniva", last_name="Voss")
    Credential.objects.filter(person__user=user, kind="insurer_list").delete()
    with pytest.raises(ValidationError) as barred:
        record_reading(intake=make_intake(), typed=typed, by=user)
    assert barred.value.messages == ["No insurer’s listing of Sunniva Voss is on file."]


def test_only_people_of_the_shop_read_points() -> None:
    user = make_user(first_name="Imke", last_name="Rasmus")
    typed = Typed(criterion="horn", value="good")
    with pytest.raises(ValidationError) as refusal:
        record_reading(intake=make_intake(), typed=typed, by=user)
    assert refusal.value.messages == [
        "Imke Rasmus is not on the list of people who work in the shop."
    ]


def test_a_final_reading_waits_for_its_sheet_and_stands_beside_the_full_one() -> None:
    stay = make_intake()
    full = record(stay, "5")
    with pytest.raises(ValidationError) as refusal:
        record(stay, "6", final=True)
    assert refusal.value.messages == [
        "The final sheet is not open. Begin it, so that its odometer is known."
    ]
    begin_inspection(intake=stay, depth=Depth.FINAL, odometer_mi=148_200, by=technician())
    final = record(stay, "6", final=True)
    assert set(stay.readings.current()) == {full, final}


def test_a_point_that_is_not_on_the_final_sheet_is_refused_there() -> None:
    code = next(one.code for one in load().criteria.values() if "final" not in one.depths)
    position = next(iter(load()[code].positions), "")
    title = load()[code].title
    assert refused(make_intake(), "good", criterion=code, position=position, final=True) == {
        "criterion": [f"“{title}” is not on the final sheet."]
    }


def test_a_bad_final_reading_carries_the_finding_of_the_full_sheet_over() -> None:
    stay = make_intake()
    record(stay, "1")
    begin_inspection(intake=stay, depth=Depth.FINAL, odometer_mi=148_200, by=technician())
    final = record(stay, "0", final=True)
    finding = stay.findings.get()
    assert (finding.reading, finding.title) == (final, "Tread depth, LF: 0/32 in of tread")


def test_a_local_limit_judges_and_the_reading_keeps_the_shipped_one() -> None:
    stay = make_intake()
    LocalLimit.objects.create(
        program=stay.program,
        criterion="tire-tread",
        reason="5.2.3 e.2",
        typed="4",
        since_on=stay.program.today(),
        because="The state asks for more.",
        by=make_user(),
    )
    reading = record(stay, "3")
    assert (reading.deficiency, reading.limit) == ("dangerous", "4/32 in")
    assert (reading.shipped_limit, reading.limit_because) == (
        "2/32 in",
        "The state asks for more.",
    )


def test_one_key_with_another_value_is_refused_and_not_lost_in_silence() -> None:
    stay, key = make_intake(), uuid4()
    record(stay, "5", client_key=key)
    assert refused(stay, "1", client_key=key) == {
        "value": [
            (
                "This form was sent already: 5/32 in of tread, the limit is 2/32 in. "
                "Open the point again to change it."
            )
        ]
    }


def miss(stay: Intake, because: str = "Weather or light", **fields: Any) -> NotRead:
    missed = Missed(**{"criterion": "horn", "because": because} | fields)
    return record_not_read(intake=stay, missed=missed, by=technician())


def test_why_a_point_is_not_read_is_kept_and_a_reading_lifts_it() -> None:
    stay = make_intake()
    row = miss(stay)
    assert (row.because, row.lifted_at) == ("Weather or light", None)
    assert Event.objects.about("intake", stay.pk).get().what == "A point could not be read."
    record(stay, "good", criterion="horn", position="")
    row.refresh_from_db()
    assert row.lifted_at is not None


def test_a_new_reason_takes_the_place_of_the_old_one() -> None:
    stay = make_intake()
    miss(stay)
    newer = miss(stay, "Equipment is missing")
    assert list(stay.not_read.filter(lifted_at__isnull=True)) == [newer]


def test_not_read_sent_twice_with_one_key_is_recorded_once() -> None:
    stay, key = make_intake(), uuid4()
    assert miss(stay, client_key=key) == miss(stay, client_key=key)
    assert stay.not_read.count() == 1


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"because": "  "}, "This field cannot be blank."),
        ({"criterion": "tire-color"}, "“tire-color” is not a point of the sheet."),
    ],
)
def test_not_read_needs_a_reason_and_a_point(fields: dict[str, str], sentence: str) -> None:
    with pytest.raises(ValidationError) as refusal:
        miss(make_intake(), **fields)
    assert refusal.value.messages == [sentence]


def test_on_an_ended_stay_nothing_is_left_unread_any_more() -> None:
    with pytest.raises(ValidationError) as refusal:
        miss(make_intake(left_on=TODAY))
    assert refusal.value.messages == [ENDED]


DAY = 86_400  # seconds


def test_a_reading_that_waited_offline_counts_as_of_the_day_it_was_read() -> None:
    stay = make_intake(arrived_on=TODAY - dt.timedelta(days=20))
    now = timezone.now()
    reading = record(stay, "5", seconds_ago=2 * DAY)
    zone = stay.program.zone
    days = {(one - dt.timedelta(days=2)).astimezone(zone).date() for one in (now, timezone.now())}
    assert reading.read_on in days
    assert record(stay, "5", position="RF").read_on == stay.program.today()


def test_a_reading_that_waited_too_long_is_refused() -> None:
    stay = make_intake(arrived_on=dt.date(2020, 1, 2))
    [sentence] = refused(stay, "5", seconds_ago=8 * DAY)["value"]
    assert sentence.endswith(", more than 7 days ago. Read it again.")
    [sentence] = refused(stay, "5", seconds_ago=10**15)["value"]
    assert sentence.endswith(", more than 7 days ago. Read it again.")


def test_three_numbers_that_waited_bring_the_depth_of_their_own_day() -> None:
    stay = make_intake(arrived_on=dt.date(2020, 1, 2))
    for place, number in (("inner", "5"), ("middle", "5"), ("outer", "6")):
        at = {"criterion": "tire-tread-across", "position": f"LF-{place}"}
        last = record(stay, number, seconds_ago=3 * DAY, **at)
    depth = stay.readings.get(criterion="tire-tread")
    assert depth.read_on == last.read_on < stay.program.today()
