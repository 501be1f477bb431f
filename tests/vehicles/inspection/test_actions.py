"""Recording a reading: judged, kept as typed, and never over somebody else's.

Limits: 49 CFR 570.9(a), 2/32 in of tread; Directive 2014/45/EU Annex I, 5.2.3 (e) and 4.3.1.
"""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.roles import RoleKind
from shared.models import Event, Job, Person, User
from tests.factories import TODAY, make_intake, make_item, make_user
from vehicles.inspection.actions import record_reading
from vehicles.inspection.catalogue import load
from vehicles.inspection.reading import Typed
from vehicles.models import Finding, Intake, Reading

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


def test_a_reading_is_kept_as_typed_with_the_catalogue_it_was_judged_by() -> None:
    reading = record(make_intake(), " 1/32 ")
    assert (reading.typed, reading.unit, reading.limit) == ("1/32", "in", "2/32 in")
    assert (reading.deficiency, reading.us_reject) == ("dangerous", True)
    assert reading.catalogue_version == load().version
    assert reading.sentence == "1/32 in of tread, the limit is 2/32 in."


@pytest.mark.parametrize(
    ("criterion", "position", "value", "beside", "unit"),
    [
        ("tire-tread", "LF", "3", "", "32nds"),
        ("tire-tread", "LF", "3", "mm", "mm"),
        ("tire-tread", "LF", "1.6 mm", "32nds", "mm"),
        ("brake-rotor", "LF", "22.4 min 23 mm", "", "mm"),
        ("brake-rotor", "LF", "0.9 min 0.88", "", "in"),
        ("stop-lamps", "left", "good", "mm", ""),
    ],
)
def test_the_unit_is_the_one_that_the_number_is_in(
    criterion: str, position: str, value: str, beside: str, unit: str
) -> None:
    reading = record(make_intake(), value, criterion=criterion, position=position, unit=beside)
    assert reading.unit == unit


def test_a_bad_reading_opens_a_finding_with_its_class() -> None:
    stay = make_intake()
    reading = record(stay, "1")
    finding = stay.findings.get()
    assert (finding.reading, finding.deficiency) == (reading, "dangerous")
    assert finding.title == "Tread depth, LF: 1/32 in of tread"
    assert finding.found_by == reading.read_by


def test_a_good_reading_opens_none() -> None:
    stay = make_intake()
    record(stay, "9")
    assert stay.findings.count() == 0


def test_the_reader_is_named_with_the_credential_of_that_day() -> None:
    user = technician(first_name="Sunniva", last_name="Voss")
    Person.objects.filter(user=user).update(credential="ASE brakes")
    typed = Typed(criterion="horn", value="good")
    reading = record_reading(intake=make_intake(), typed=typed, by=user)
    assert (reading.read_by, reading.recorded_by) == ("Sunniva Voss, ASE brakes", user)


def test_a_line_in_the_log_names_the_point_and_no_value() -> None:
    stay = make_intake()
    record(stay, "1")
    event = Event.objects.about("intake", stay.pk).get()
    assert (event.what, event.fields) == ("A reading was recorded.", ["tire-tread"])


def test_reading_again_replaces_the_reading_and_withdraws_its_finding() -> None:
    stay = make_intake()
    first = record(stay, "1")
    second = record(stay, "9", seen_id=first.pk)
    assert list(stay.readings.current()) == [second]
    finding = stay.findings.get()
    assert (finding.withdrawn_because, finding.version) == ("The point was read again.", 2)
    assert Event.objects.about("finding", finding.pk).get().reason == "read again"


def test_reading_again_as_bad_carries_the_finding_over() -> None:
    stay = make_intake()
    first = record(stay, "1")
    second = record(stay, "0", seen_id=first.pk)
    finding = stay.findings.get()
    assert (finding.reading, finding.version) == (second, 2)
    assert finding.title == "Tread depth, LF: 0/32 in of tread"


def test_a_finding_on_which_work_hangs_outlives_a_good_reading() -> None:
    stay = make_intake()
    first = record(stay, "1")
    finding = stay.findings.get()
    make_item(intake=stay, findings=[finding])
    second = record(stay, "9", seen_id=first.pk)
    assert list(Finding.objects.open()) == [finding]
    record(stay, "1", seen_id=second.pk)
    assert list(Finding.objects.open()) == [finding]


def test_what_changes_a_finding_asks_for_new_ranks() -> None:
    stay = make_intake()
    first = record(stay, "9")
    assert Job.objects.count() == 0
    second = record(stay, "1", seen_id=first.pk)
    assert Job.objects.get().kind == "rank_items"
    Job.objects.all().delete()
    record(stay, "9", seen_id=second.pk)
    assert Job.objects.get().kind == "rank_items"


def test_each_place_has_a_finding_of_its_own() -> None:
    stay = make_intake()
    record(stay, "1", position="LF")
    record(stay, "1", position="RF")
    assert stay.findings.count() == 2


def test_sent_twice_with_one_key_it_is_recorded_once() -> None:
    stay, key = make_intake(), uuid4()
    first = record(stay, "1", client_key=key)
    assert record(stay, "1", client_key=key) == first
    assert stay.readings.count() == 1


def test_a_key_of_another_stay_is_refused() -> None:
    key = uuid4()
    record(make_intake(), "1", client_key=key)
    assert list(refused(make_intake(), "1", client_key=key)) == ["client_key"]


@pytest.mark.parametrize("seen", [None, 0])
def test_what_somebody_else_recorded_meanwhile_is_not_overwritten(seen: int | None) -> None:
    stay = make_intake()
    first = record(stay, "4")
    assert refused(stay, "1", seen_id=seen) == {
        "value": [
            (
                f"{first.read_by} recorded meanwhile: 4/32 in of tread, the limit is 2/32 in. "
                "Nothing of yours is lost: look, then record again."
            )
        ]
    }
    assert list(stay.readings.current()) == [first]


@pytest.mark.parametrize(
    ("value", "unit", "sentence"),
    [
        ("40", "", "Tread depth of 40/32 in is not possible. Type 0 to 24."),
        (
            "4",
            "psi",
            "Tread depth is read in 32nds of an inch or millimeters, not psi.",
        ),
        (
            "bald",
            "",
            (
                "“bald” is not a number. "
                "Tread depth takes 0 to 24, in 32nds of an inch or millimeters."
            ),
        ),
    ],
)
def test_an_impossible_value_or_a_wrong_unit_is_refused(
    value: str, unit: str, sentence: str
) -> None:
    assert refused(make_intake(), value, unit=unit) == {"value": [sentence]}


def test_a_point_or_a_place_that_there_is_not_is_refused() -> None:
    stay = make_intake()
    assert refused(stay, "1", criterion="tire-color") == {
        "criterion": ["“tire-color” is not a point of the sheet."]
    }
    assert refused(stay, "1", position="roof") == {
        "position": ["“roof” is no place of Tread depth. Places: LF, RF, LR, RR."]
    }
    assert refused(stay, "good", criterion="horn") == {
        "position": ["“LF” is no place of Horn. Places: none."]
    }


def test_a_stay_that_has_ended_takes_no_reading() -> None:
    stay = make_intake(left_on=TODAY)
    with pytest.raises(ValidationError) as refusal:
        record(stay, "1")
    assert (refusal.value.messages, Reading.objects.count()) == ([ENDED], 0)
