"""What a person says of a paper."""

from __future__ import annotations

from program.papers.forms import PaperForm
from program.papers.reading import MOST_BYTES
from tests.program.papers.files import PDF, sent


def test_a_file_is_read_and_named() -> None:
    form = PaperForm({"name": "Slip"}, {"file": sent(PDF, "whatever.exe")})
    assert form.is_valid()
    assert form.cleaned_data == {"name": "Slip", "file": PDF}


def test_no_more_is_read_than_is_needed_to_refuse_it() -> None:
    form = PaperForm({"name": "Slip"}, {"file": sent(PDF * (MOST_BYTES // len(PDF) + 2))})
    assert form.is_valid()
    assert len(form.cleaned_data["file"]) == MOST_BYTES + 1


def test_both_are_asked_for() -> None:
    assert PaperForm({}, {}).errors == {
        "name": ["What it is: an answer is missing."],
        "file": ["The file: an answer is missing."],
    }


def test_it_says_what_not_to_write() -> None:
    hints = [str(field.help_text) for field in PaperForm()]
    assert ["household" in hint for hint in hints] == [True, True]
