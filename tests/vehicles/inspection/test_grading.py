"""Setting a class against the catalogue: up by one person with a reason, down by two."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.roles import RoleKind
from shared.models import Event, Job, Person, Skill, User
from tests.factories import TODAY, make_intake, make_item, make_user
from vehicles.inspection.actions import record_reading
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.gathering import sheet_of
from vehicles.inspection.grading import answer, regrade
from vehicles.inspection.reading import Typed
from vehicles.models import Finding, Intake, Reading, Regrade

pytestmark = pytest.mark.django_db
DANGEROUS, MAJOR, MINOR, NONE = DeficiencyClass


def technician(name: str = "Sten") -> User:
    return make_user(RoleKind.TECHNICIAN, first_name=name, last_name="Ode")


def read(stay: Intake, value: str, *, before: Reading | None = None) -> Reading:
    typed = Typed(criterion="horn", value=value, seen_id=before.pk if before else None)
    return record_reading(intake=stay, typed=typed, by=technician("Runa"))


def set_class(reading: Reading, becomes: DeficiencyClass, **fields: Any) -> Regrade:
    defaults: dict[str, Any] = {
        "because": "It is needed at the school.",
        "title": "Horn",
        "by": technician(),
    }
    return regrade(reading=reading, becomes=becomes, **defaults | fields)


def horn(stay: Intake) -> Any:
    return sheet_of(stay).point("horn", "")


def major_horn() -> Reading:
    """Return a reading that the catalogue calls major: the horn does not work."""
    return read(make_intake(), "7.7 a.2")


def refusal(act: Any, *args: Any, **kwargs: Any) -> list[str]:
    with pytest.raises(ValidationError) as refused:
        act(*args, **kwargs)
    return refused.value.messages


def test_a_class_is_raised_at_once_with_its_reason_and_the_severity_stays() -> None:
    reading = major_horn()
    Job.objects.all().delete()
    row = set_class(reading, DANGEROUS)
    finding = Finding.objects.get()
    assert (row.was, row.becomes, row.waits) == ("major", "dangerous", False)
    assert (finding.deficiency, finding.severity, finding.version) == (
        "dangerous",
        reading.severity,
        2,
    )
    event = Event.objects.about("finding", finding.pk)[0]
    assert (event.what, event.reason) == ("The class was raised.", "It is needed at the school.")
    assert Job.objects.get().kind == "rank_items"
    assert Reading.objects.get().deficiency == "major"


def test_raising_what_the_catalogue_calls_good_opens_a_finding() -> None:
    reading = read(make_intake(), "good")
    set_class(reading, MINOR)
    finding = Finding.objects.open().get()
    assert (finding.title, finding.deficiency, finding.reading) == ("Horn", "minor", reading)


def test_a_lower_class_waits_and_changes_nothing() -> None:
    row = set_class(major_horn(), MINOR)
    assert (row.waits, Finding.objects.get().deficiency) == (True, "major")
    assert Event.objects.filter(what="A lower class was proposed.").count() == 1


def test_a_second_person_agrees_and_the_class_is_lowered() -> None:
    row = set_class(major_horn(), MINOR)
    Job.objects.all().delete()
    second = technician("Runa")
    done = answer(regrade=row, agree=True, because="", by=second)
    assert (done.waits, done.second, Finding.objects.get().deficiency) == (False, second, "minor")
    assert Job.objects.count() == 1


def test_a_second_person_refuses_with_a_reason() -> None:
    row, second = set_class(major_horn(), MINOR), technician("Runa")
    assert refusal(answer, regrade=row, agree=False, because=" ", by=second) == [
        "Say why the class stays."
    ]
    done = answer(regrade=row, agree=False, because="I heard nothing either.", by=second)
    assert (done.waits, done.refused_because) == (False, "I heard nothing either.")
    assert Finding.objects.get().deficiency == "major"
    assert refusal(answer, regrade=row, agree=True, because="", by=second) == [
        "This change was answered already, or the point was read again."
    ]


def test_the_second_person_is_never_the_first() -> None:
    first = technician()
    row = set_class(major_horn(), MINOR, by=first)
    assert refusal(answer, regrade=row, agree=True, because="", by=first) == [
        "The second person has to be somebody other than Sten Ode."
    ]
    assert Finding.objects.get().deficiency == "major"


def test_the_second_person_may_sign_off() -> None:
    row, second = set_class(major_horn(), MINOR), technician("Runa")
    Skill.objects.filter(person__user=second, code="sign_off").delete()
    assert len(refusal(answer, regrade=row, agree=True, because="", by=second)) == 1
    assert Finding.objects.get().deficiency == "major"


def test_only_people_of_the_shop_set_a_class() -> None:
    user = technician()
    Person.objects.filter(user=user).update(left_on="2026-01-02")
    assert "has not worked here since" in refusal(set_class, major_horn(), DANGEROUS, by=user)[0]


@pytest.mark.parametrize(
    ("becomes", "because", "sentence"),
    [
        (MAJOR, "Why not.", "The class is major already."),
        (DANGEROUS, "  ", "This field cannot be blank."),
    ],
)
def test_the_same_class_or_no_reason_is_refused(
    becomes: DeficiencyClass, because: str, sentence: str
) -> None:
    assert refusal(set_class, major_horn(), becomes, because=because) == [sentence]
    assert Regrade.objects.count() == 0


def test_one_change_of_a_class_waits_at_a_time() -> None:
    reading = major_horn()
    set_class(reading, MINOR)
    assert refusal(set_class, reading, NONE) == [
        "A change of this class waits for its second person."
    ]


def test_lowered_to_none_a_finding_is_withdrawn_and_the_sheet_shows_none() -> None:
    reading = major_horn()
    answer(
        regrade=set_class(reading, NONE, because="It was the wrong fuse."),
        agree=True,
        because="",
        by=technician("Runa"),
    )
    finding = Finding.objects.get()
    assert finding.withdrawn_because == "Lowered to none: It was the wrong fuse."
    assert horn(reading.intake).deficiency is NONE
    set_class(reading, MINOR, because="It failed again.")
    assert Finding.objects.open().get().deficiency == "minor"


def test_lowered_to_none_a_finding_with_work_stays_open() -> None:
    reading = major_horn()
    make_item(intake=reading.intake, findings=[reading.finding])
    row = set_class(reading, NONE)
    answer(regrade=row, agree=True, because="", by=technician("Runa"))
    assert Finding.objects.open().get().deficiency == "none"


def test_a_reading_that_was_replaced_or_put_right_keeps_its_class() -> None:
    reading = major_horn()
    read(reading.intake, "7.7 a.2", before=reading)
    assert refusal(set_class, reading, DANGEROUS) == [
        "This reading no longer stands. Look at the one that does."
    ]
    Finding.objects.update(cleared_on=TODAY)
    standing = Reading.objects.current().get()
    assert refusal(set_class, standing, DANGEROUS) == ["This finding was put right on 2026-11-30."]


def test_reading_again_never_lowers_what_somebody_raised() -> None:
    reading = major_horn()
    set_class(reading, DANGEROUS)
    again = read(reading.intake, "7.7 a.2", before=reading)
    assert Finding.objects.get().deficiency == "dangerous"
    point = horn(reading.intake)
    assert (point.reading, point.deficiency, len(point.regrades)) == (again, DANGEROUS, 1)


def test_reading_again_takes_back_a_lower_class_and_what_waits() -> None:
    reading = major_horn()
    row = set_class(reading, MINOR)
    again = read(reading.intake, "7.7 a.2", before=reading)
    row.refresh_from_db()
    assert (row.waits, row.refused_because) == (False, "The point was read again.")
    answer(regrade=set_class(again, MINOR), agree=True, because="", by=technician("Runa"))
    read(reading.intake, "7.7 a.2", before=again)
    assert Finding.objects.get().deficiency == "major"


def test_a_good_reading_withdraws_a_raised_finding() -> None:
    reading = major_horn()
    set_class(reading, DANGEROUS)
    read(reading.intake, "good", before=reading)
    assert Finding.objects.get().withdrawn_because == "The point was read again."
