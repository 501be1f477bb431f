"""What is read of the texts that a program holds."""

from __future__ import annotations

import pytest

from tests.vehicles.diagnosis.rows import HOT, make_diagnosis
from vehicles.diagnosis.complaints import text_of
from vehicles.diagnosis.keeping import save_model, use_shipped
from vehicles.diagnosis.queries import given_up, own_rows, texts_of, times_used

pytestmark = pytest.mark.django_db


def test_each_text_says_how_many_diagnoses_began_with_it() -> None:
    row = make_diagnosis()
    save_model(
        program=row.program,
        complaint="hot",
        text=HOT + "# x\n",
        because="Ours",
        seen_number=1,
        by=row.begun_by,
    )
    found = texts_of(row.program, "hot")
    assert [(one.number, one.used) for one in found] == [(2, 0), (1, 1)]  # type: ignore[attr-defined]
    assert times_used(row.program) == {"hot": 1}
    assert [one.number for one in own_rows(row.program)] == [2]


def test_going_back_to_the_shipped_text_is_found_with_its_reason() -> None:
    row = make_diagnosis()
    save_model(
        program=row.program,
        complaint="stalls",
        text=text_of("stalls") + "# x\n",
        because="Ours",
        seen_number=0,
        by=row.begun_by,
    )
    use_shipped(program=row.program, complaint="stalls", because="Tried", by=row.begun_by)
    assert [one.reason for one in given_up(texts_of(row.program, "stalls"))] == ["Tried"]
    assert given_up(texts_of(row.program, "hot")) == []
