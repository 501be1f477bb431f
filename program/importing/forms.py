"""What a coordinator sends: sheets, and the rows to leave out of a refused import."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from program.importing.rows import Key
from shared.forms import Form, KeyField

if TYPE_CHECKING:
    from program.importing.models import ImportRun


class SeveralFilesInput(forms.FileInput):
    allow_multiple_selected = True


class SeveralFilesField(forms.FileField):
    """One or more files; cleaned, a list of them."""

    widget = SeveralFilesInput

    def clean(self, data: Any, initial: Any = None) -> list[Any]:
        files = data if isinstance(data, list | tuple) else [data]
        return [super(SeveralFilesField, self).clean(file, initial) for file in files or [None]]


class UploadForm(Form):
    """A zip of sheets, or the sheets themselves."""

    sheets = SeveralFilesField(
        label="Sheets",
        help_text="One zip, or any number of CSV files.",
        widget=SeveralFilesInput(attrs={"accept": ".csv,.zip"}),
    )
    client_key = KeyField()


class AgainForm(Form):
    """Rows of a refused import that are to be left out when it is tried again."""

    client_key = KeyField()

    def __init__(self, *args: Any, run: ImportRun, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = {
            str(Key(problem["sheet"], problem["ref"])) for problem in run.problems if problem["ref"]
        }
        self.fields["leave_out"] = forms.MultipleChoiceField(
            label="Rows to leave out",
            required=False,
            choices=[(row, row) for row in sorted(rows)],
            error_messages={"invalid_choice": "“%(value)s” is not a row with a problem."},
        )
