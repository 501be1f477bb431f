"""What a person sends and decides on the pages of bank statements."""

from __future__ import annotations

import base64
import binascii
from typing import TYPE_CHECKING, Any

from django import forms

from program.bank.actions import Booking, may_book
from program.bank.check import Given
from program.bank.keeping import Upload
from program.bank.layout import NAMES, Hold, Layout
from program.bank.queries import cash_accounts
from program.bank.statement_file import MOST_BYTES
from program.bank.values import WRITTEN, DayOrder
from program.ledger.chart import load
from program.ledger.models import Fund
from shared.dates import short_date
from shared.forms import DateField, Form, MoneyField, VersionField, dress
from shared.money import usd

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from django.forms.boundfield import BoundField
    from django.http import QueryDict

    from program.bank.layout import Table
    from program.bank.models import BankLine, BankStatement
    from program.ledger.models import Entry

HOLDS = [(hold.value, str(NAMES[hold])) for hold in Hold]
SHOWN = 60  # characters of an example below a column's name


class UploadForm(Form):
    """A bank's file for one cash account."""

    account = forms.ChoiceField(label="Account")
    file = forms.FileField(
        label="The bank’s file",
        help_text="CSV, as the bank offers it for download. Nothing is written before you have"
        " seen what is in it.",
        error_messages={"empty": "The file is empty."},
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.tsv,text/csv"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [(code, f"{code} {name}") for code, name in cash_accounts().items()]
        self.fields["account"].choices = choices  # type: ignore[attr-defined]  # a choice field

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if file.size > MOST_BYTES:
            raise forms.ValidationError(
                f"The file has {file.size / 1024 / 1024:.1f} MB; {MOST_BYTES // 1024 // 1024} MB is"
                " the most. Ask the bank for fewer days."
            )
        return file

    def upload(self) -> Upload:
        """Return the file as it came."""
        file = self.cleaned_data["file"]
        return Upload(
            account=self.cleaned_data["account"], name=str(file.name), content=file.read()
        )


def sent_again(data: QueryDict) -> Upload | None:
    """Return the file that a form of `CheckForm` carries along; None when it doesn't."""
    try:
        content = base64.b64decode(data.get("content", ""), validate=True)
    except (binascii.Error, ValueError):
        return None
    account = data.get("account", "")
    if not content or len(content) > MOST_BYTES or account not in cash_accounts():
        return None
    return Upload(account=account, name=data.get("name", ""), content=content)


class CheckForm(Form):
    """The days and balances of a statement, and what each column of its file holds.

    The file is carried along, so that nothing is kept of one that nobody confirms.
    """

    account = forms.CharField(widget=forms.HiddenInput)
    name = forms.CharField(widget=forms.HiddenInput, required=False)
    content = forms.CharField(widget=forms.HiddenInput)
    from_on = DateField(
        label="First day", help_text="Of the statement, also where no line stands on it."
    )
    until_on = DateField(label="Last day")
    opening = MoneyField(label="Balance before the first line")
    closing = MoneyField(
        label="Balance after the last line",
        help_text="As the bank states it. Opening and lines have to make it to the cent.",
    )
    days = forms.ChoiceField(
        label="A day is written",
        choices=[(order.value, WRITTEN[order]) for order in DayOrder],
        widget=forms.RadioSelect,
    )
    flipped = forms.BooleanField(
        label="Money in is written with a minus", required=False, help_text="Rare."
    )

    def __init__(self, *args: Any, upload: Upload, table: Table, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        carried = base64.b64encode(upload.content).decode()
        self.initial.update(account=upload.account, name=upload.name, content=carried)
        self.headings = table.headings
        for place, heading in enumerate(table.headings):
            example = next(iter(table.column(heading)), "")[:SHOWN]
            self.fields[f"hold_{place}"] = forms.ChoiceField(
                label=f"“{heading}” holds",
                choices=HOLDS,
                help_text=f"Such as “{example}”." if example else "Empty.",
            )
        dress(self)

    @property
    def statement(self) -> list[BoundField]:
        """The fields of the statement itself."""
        return [self[name] for name in ("from_on", "until_on", "opening", "closing")]

    @property
    def columns(self) -> list[BoundField]:
        """The fields of the file's columns."""
        holds = [self[f"hold_{place}"] for place in range(len(self.headings))]
        return [*holds, self["days"], self["flipped"]]

    @property
    def typed_layout(self) -> Layout:
        """What each column holds as it was chosen, whatever else is wrong."""
        chosen = {
            heading: self.data.get(f"hold_{place}", "")
            for place, heading in enumerate(self.headings)
        }
        days = self.data.get("days", "")
        return Layout(
            columns={
                heading: Hold(hold) if hold in list(Hold) else Hold.NOTHING
                for heading, hold in chosen.items()
            },
            days=DayOrder(days) if days in list(DayOrder) else DayOrder.YEAR_FIRST,
            flipped=bool(self.data.get("flipped")),
        )

    @property
    def given(self) -> Given:
        """What was typed of the statement; the form has to be valid."""
        typed = self.cleaned_data
        return Given(
            from_on=typed["from_on"],
            until_on=typed["until_on"],
            opening=typed["opening"],
            closing=typed["closing"],
        )


def as_initial(layout: Layout, headings: Sequence[str]) -> dict[str, Any]:
    """Return a layout as a `CheckForm` begins with it."""
    holds = {
        f"hold_{place}": str(layout.columns.get(heading, Hold.NOTHING))
        for place, heading in enumerate(headings)
    }
    return holds | {"days": str(layout.days), "flipped": layout.flipped}


class MatchForm(Form):
    """Which entries a line is."""

    entries = forms.TypedMultipleChoiceField(
        label="Entries",
        widget=forms.CheckboxSelectMultiple,
        help_text="Together they have to be exactly the line’s amount.",
        error_messages={
            "required": "Choose at least one entry.",
            "invalid_choice": "An entry that was chosen is not open any more. Choose again.",
        },
    )

    def __init__(
        self, *args: Any, there: Sequence[tuple[Entry, int]], proposed: Iterable[int], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        field: Any = self.fields["entries"]
        field.coerce = {str(entry.pk): entry for entry, _ in there}.__getitem__
        field.initial = list(proposed)
        field.choices = [
            (entry.pk, f"{short_date(entry.on)}, {usd(cents)}: {entry.what} (entry {entry.pk})")
            for entry, cents in there
        ]


class BookForm(Form):
    """What a line of the bank is, when nobody had booked it."""

    account = forms.ChoiceField(label="Account")
    fund = forms.ModelChoiceField(
        label="Fund",
        queryset=Fund.objects.none(),
        empty_label="choose",
        help_text="Only funds without a donor’s restriction; others, and lines over several funds,"
        " go by the form of entries.",
    )
    what = forms.CharField(
        label="What happened",
        max_length=200,
        help_text="No household’s name: the words stay in the books for good.",
    )

    def __init__(self, *args: Any, line: BankLine, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        came = line.cents > 0
        fields: dict[str, Any] = dict(self.fields)
        fields["account"].choices = [
            ("", "choose"),
            *(
                (code, f"{code} {one.name}")
                for code, one in load().items()
                if may_book(code, came=came)
            ),
        ]
        fields["fund"].queryset = Fund.objects.filter(
            program=line.program, restricted=False, closed_on=None
        )

    def booking(self) -> Booking:
        """Return what was chosen; the form has to be valid."""
        typed = self.cleaned_data
        return Booking(account=typed["account"], fund=typed["fund"], what=typed["what"])


class FinishForm(Form):
    """That a statement is reconciled; a note where it doesn't end in zero."""

    version = VersionField()
    note = forms.CharField(label="Why it is finished all the same", max_length=300, required=False)

    def __init__(self, *args: Any, statement: BankStatement, ready: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["version"] = statement.version
        if ready:
            self.fields["note"].widget = forms.HiddenInput()
        else:
            self.fields["note"].required = True


class ReopenForm(Form):
    """Why a finished statement is opened again."""

    version = VersionField()
    reason = forms.CharField(label="Why", max_length=200)

    def __init__(self, *args: Any, statement: BankStatement, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["version"] = statement.version
