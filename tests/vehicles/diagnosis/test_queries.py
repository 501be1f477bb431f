"""Which text is in force, and what is on record of it."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from tests.factories import make_program
from tests.vehicles.diagnosis.rows import make_diagnosis, see
from vehicles.diagnosis.complaints import text_of
from vehicles.diagnosis.queries import (
    own_rows,
    setups_made,
    text_in_use,
    texts_of,
    times_used,
)

pytestmark = pytest.mark.django_db


def test_the_shipped_text_counts_until_the_program_has_its_own() -> None:
    program = make_program()
    assert text_in_use(program, "overheats") == (text_of("overheats"), None)
    row = make_diagnosis()
    assert text_in_use(row.program, "hot") == (row.model.text, row.model)
    with pytest.raises(ValidationError, match="No fault model “cold” is shipped"):
        text_in_use(program, "cold")


def test_texts_are_counted_with_the_diagnoses_that_began_with_them() -> None:
    row = make_diagnosis()
    assert own_rows(row.program) == [row.model]
    assert times_used(row.program) == {"hot": 1}
    [text] = texts_of(row.program, "hot")
    assert (text, text.used) == (row.model, 1)  # type: ignore[attr-defined]


def test_what_a_check_took_is_set_up_now() -> None:
    row = make_diagnosis()
    see(row, "level", "low")
    assert setups_made(row) == {"cold"}
