"""Fault models that come from another program, and complaints of the program's own."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.roles import RoleKind
from tests.factories import make_intake, make_program, make_user
from tests.vehicles.diagnosis.rows import HOT, make_diagnosis
from vehicles.diagnosis.archive import File, read_file
from vehicles.diagnosis.complaints import text_of
from vehicles.diagnosis.keeping import add_model, compared, kept_model, save_model, take_over
from vehicles.diagnosis.queries import text_in_use
from vehicles.models import KeptModel

pytestmark = pytest.mark.django_db
OURS = text_of("stalls").replace("minutes = 30", "minutes = 35", 1)


def came(*texts: str, name: str = "a.toml") -> Any:
    return compared(make_program(), [read_file(name, text.encode()) for text in texts])


def take(because: str = "From Harrow Lane", **texts: tuple[str, int]) -> list[KeptModel]:
    by = make_user(RoleKind.COORDINATOR)
    named = {code.replace("_", "-"): one for code, one in texts.items()}
    return take_over(program=make_program(), texts=named, because=because, by=by)


def test_what_came_is_new_changed_or_the_same() -> None:
    new, changed, same = came(HOT, OURS, text_of("clutch"))
    assert (new.is_new, new.is_same, new.number, new.mistakes) == (True, False, 0, ())
    assert (changed.is_new, changed.is_same) == (False, False)
    assert [one.after for one in changed.changes.work] == ["35 min, $450.00"]
    assert {one.sign for one in changed.lines} == {" ", "−", "+"}
    assert (same.is_new, same.is_same) == (False, True)


def test_what_came_is_compared_with_the_programs_own_text() -> None:
    take(stalls=(OURS, 0))
    one = came(OURS)[0]
    assert (one.is_same, one.number) == (True, 1)
    assert [each.after for each in came(text_of("stalls"))[0].changes.work] == ["30 min, $450.00"]


def test_each_mistake_is_said_with_its_place() -> None:
    wrong = came(HOT.replace("weight = 0.40", "weight = 0.60"))[0]
    assert wrong.model is None
    assert wrong.said == ["faults: All weights and “unlisted” sum to 1.20, not 1."]
    said = File(name="a.toml", mistake="The file is empty.")
    assert compared(make_program(), [said])[0].said == ["The file is empty."]


def test_two_files_of_one_complaint_are_both_wrong() -> None:
    found = came(HOT, HOT + "# again\n")
    assert [one.said for one in found] == [["“hot” is in more than one file."]] * 2


def test_a_code_or_a_title_that_a_row_has_no_room_for_is_a_mistake() -> None:
    long = came(HOT.replace('code = "hot"', f'code = "{"a" * 41}"'))[0]
    assert long.said == [
        "code: A code has at most 40 lower case letters, digits and single hyphens."
    ]
    title = came(HOT.replace("Runs hot", "t" * 121))[0]
    assert title.said == ["title: 121 characters; a program keeps 120 at most."]


def test_looking_writes_nothing() -> None:
    came(HOT, OURS)
    assert not KeptModel.objects.exists()


def test_all_that_came_is_taken_over_with_its_origin() -> None:
    rows = take(hot=(HOT, 0), stalls=(OURS, 0))
    assert [(one.complaint, one.origin, one.because) for one in rows] == [
        ("hot", "imported", "From Harrow Lane"),
        ("stalls", "imported", "From Harrow Lane"),
    ]
    assert text_in_use(make_program(), "stalls") == (OURS, rows[1])


def test_where_one_is_refused_none_is_taken_over() -> None:
    with pytest.raises(ValidationError) as refusal:
        take(hot=(HOT, 0), stalls=(OURS, 4))
    assert refusal.value.messages == [
        "stalls: Somebody else changed this fault model meanwhile. Look, then save."
    ]
    assert not KeptModel.objects.exists()


def test_taking_over_needs_a_reason() -> None:
    with pytest.raises(ValidationError, match="Say why these fault models are taken over"):
        take(" ", hot=(HOT, 0))


def test_a_complaint_of_our_own_is_added_once() -> None:
    given: dict[str, Any] = {
        "program": make_program(),
        "text": HOT.replace("\n", "\r\n"),
        "because": "Ours",
        "by": make_user(RoleKind.LEAD_TECHNICIAN),
    }
    row = add_model(**given)
    assert (row.complaint, row.origin, row.text) == ("hot", "own", HOT)
    with pytest.raises(ValidationError, match="A fault model for “hot” is here already"):
        add_model(**given)
    with pytest.raises(ValidationError, match="A fault model for “stalls” is here already"):
        add_model(**given | {"text": text_of("stalls")})


def test_a_text_that_is_too_long_for_its_row_can_not_be_saved() -> None:
    by = make_user(RoleKind.LEAD_TECHNICIAN)
    with pytest.raises(ValidationError) as refusal:
        save_model(
            program=make_program(),
            complaint="hot",
            text=HOT.replace("Runs hot", "t" * 121),
            because="Ours",
            seen_number=0,
            by=by,
        )
    assert refusal.value.message_dict == {
        "text": ["title: 121 characters; a program keeps 120 at most."]
    }


def test_a_diagnosis_begins_with_the_shipped_text_where_ours_can_not_be_read() -> None:
    own = take(stalls=(OURS, 0))[0]
    KeptModel.objects.filter(pk=own.pk).update(text="format = 'fault model 0'")
    kept = kept_model(make_program(), "stalls", own.by)
    assert (kept.text, kept.origin) == (text_of("stalls"), "shipped")


def test_a_complaint_of_our_own_that_can_not_be_read_has_nothing_to_begin_with() -> None:
    row = make_diagnosis(make_intake())
    KeptModel.objects.filter(pk=row.model_id).update(text="?")
    with pytest.raises(ValidationError, match="No fault model “hot” is shipped"):
        kept_model(row.program, "hot", row.begun_by)
