from __future__ import annotations

import uuid

from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils.datastructures import MultiValueDict

from program.importing.forms import AgainForm, UploadForm
from program.importing.models import ImportRun

RUN = ImportRun(
    problems=[
        {"sheet": "pledges", "ref": "d1"},
        {"sheet": "pledges", "ref": "d1"},
        {"sheet": "bays", "ref": ""},
    ]
)


def test_any_number_of_files_is_taken() -> None:
    files = [SimpleUploadedFile(f"{name}.csv", b"ref\n") for name in ("bays", "hours")]
    form = UploadForm({"client_key": str(uuid.uuid4())}, MultiValueDict({"sheets": files}))
    assert form.is_valid()
    assert [file.name for file in form.cleaned_data["sheets"]] == ["bays.csv", "hours.csv"]


def test_a_form_without_files_says_what_is_missing() -> None:
    form = UploadForm({}, MultiValueDict())
    assert not form.is_valid()
    assert [fault["sentence"] for fault in form.faults] == ["Sheets: an answer is missing."]


def test_only_rows_with_a_problem_can_be_left_out() -> None:
    form = AgainForm({"leave_out": ["pledges:d1"]}, run=RUN)
    assert form.is_valid()
    assert form.cleaned_data["leave_out"] == ["pledges:d1"]
    other = AgainForm({"leave_out": ["bays:b1"]}, run=RUN)
    assert [fault["sentence"] for fault in other.faults] == [
        "“bays:b1” is not a row with a problem."
    ]
