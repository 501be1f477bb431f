"""The list of the codes of one reading."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.utils.html import format_html, format_html_join

from shared.tables import Column, Table
from shared.templatetags import handback
from vehicles.codes.pasting import Storage
from vehicles.codes.trouble_codes import Severity

if TYPE_CHECKING:
    from collections.abc import Iterable

    from django.utils.safestring import SafeString

    from shared.say import Say
    from vehicles.codes.computing import CodeRow, ScanRow
    from vehicles.codes.trouble_codes import Decoded

#: The heavier the frame, the graver the code.
MARKS = {
    Severity.STOP: "dangerous",
    Severity.FIX: "major",
    Severity.SOON: "minor",
    Severity.ADVISORY: "none",
}


class CodeTable(Table):
    """The codes of one reading, the worst first."""

    code = Column(verbose_name="Code", orderable=False, empty_values=())
    says = Column(verbose_name="What it says", orderable=False, empty_values=())
    severity = Column(verbose_name="How urgent", orderable=False, empty_values=())
    thought = Column(verbose_name="Look first", orderable=False, empty_values=())
    source = Column(verbose_name="Source", orderable=False, empty_values=())

    def __init__(self, row: ScanRow, **kwargs: Any) -> None:
        super().__init__(list(row.rows), **kwargs)
        told = f"{handback.moment(row.scan.at)}, reading {row.scan.pk}"
        self.caption = f"Codes read on {told}"  # type: ignore[misc]

    def render_code(self, record: CodeRow) -> SafeString:
        stored = "" if record.storage is Storage.UNKNOWN else record.storage.label
        return format_html('<span class="code">{}</span>{}', record.kept.code, subs([stored]))

    def render_says(self, record: CodeRow) -> SafeString:
        meaning = record.kept.meaning
        first = f"{meaning[:1].upper()}{meaning[1:]}." if meaning else "Not in this table."
        remark = f"The tool says: {record.remark}." if record.remark else ""
        return format_html(
            "{}{}", first, subs([structure(record.known), *record.known.notes, remark])
        )

    def render_severity(self, record: CodeRow) -> SafeString:
        severity = record.severity
        if severity is None:
            return handback.mark("unread", "not known")
        return format_html(
            "{}{}", handback.mark(MARKS[severity], severity.word), subs([severity.label])
        )

    def render_thought(self, record: CodeRow) -> str:
        thought = record.known.first_thought
        return f"{thought[:1].upper()}{thought[1:]}." if thought else handback.NOTHING

    def render_source(self, record: CodeRow) -> str:
        if not record.kept.source:
            return handback.NOTHING
        seen = "text seen" if record.kept.seen else "from memory, text not seen"
        return f"{record.kept.source} ({seen})"


def structure(known: Decoded) -> str:
    """Return what the code’s own structure says: `Powertrain, standard: ignition or misfire.`."""
    group = handback.say(known.group)
    named = f"{known.letter.label}, {known.origin.label.lower()}"
    return f"{named}: {group[:1].lower()}{group[1:]}." if group else f"{named}."


def subs(lines: Iterable[Say | str]) -> SafeString:
    """Return second lines of a cell, each on a line of its own; empty ones are left out."""
    said = [handback.say(one) for one in lines]
    return format_html_join("", '<span class="sub">{}</span>', ((one,) for one in said if one))
