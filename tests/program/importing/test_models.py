from __future__ import annotations

import pytest

from program.households.actions import declare_tie
from program.importing.models import ImportedRow, ImportRun
from program.importing.states import ImportState
from tests.factories import make_household, make_program, make_user
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def run(**fields: object) -> ImportRun:
    return ImportRun(program=make_program(), name="autumn.zip", sha256="0" * 64, **fields)


def test_an_import_stands_in_a_state_that_is_known() -> None:
    sentence = "This state is not known to the program."
    assert_refused(run(state="lost"), "import_state_known", sentence)


def test_an_import_with_a_problem_left_is_never_done() -> None:
    assert_refused(
        run(state=ImportState.DONE, problems=[{"sheet": "bays"}]),
        "import_done_has_no_problem",
        "An import with a problem left writes nothing.",
    )


def test_a_ref_is_imported_once() -> None:
    made = run()
    made.save()
    row = {"program": made.program, "run": made, "sheet": "bays", "ref": "b1", "fingerprint": "0"}
    ImportedRow.objects.create(object_id=1, **row)
    assert_refused(
        ImportedRow(object_id=2, **row),
        "imported_ref_once",
        "A row with this ref was imported already.",
    )


def test_imports_are_seen_by_their_own_program_only() -> None:
    made = run()
    made.save()
    stranger = make_user(program=make_program(name="Mill Lane Wheels"))
    assert list(ImportRun.objects.for_user(make_user(program=made.program))) == [made]
    assert list(ImportRun.objects.for_user(stranger)) == []


def test_whom_a_tie_keeps_away_sees_the_problems_of_their_own_imports_only() -> None:
    tied, other = make_user(), make_user()
    theirs, own = run(by=other), run(by=tied)
    theirs.save()
    own.save()
    assert set(ImportRun.objects.for_user(tied)) == {theirs, own}
    declare_tie(household=make_household(), user=tied, by=other)
    assert list(ImportRun.objects.for_user(tied)) == [own]
    assert set(ImportRun.objects.for_user(other)) == {theirs, own}
