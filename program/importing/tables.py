"""Lists of imports, of what they counted, and of what kept one out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from django_tables2 import A, TemplateColumn

from program.importing.sheets import SHEETS
from program.importing.states import ImportState
from shared.tables import Column, MomentColumn, NumberColumn, Table

if TYPE_CHECKING:
    from program.importing.models import ImportRun

WORDS = {
    ImportState.ASKED: "being checked",
    ImportState.REFUSED: "refused",
    ImportState.DONE: "written",
    ImportState.FAILED: "failed",
}


class RunTable(Table):
    """Imports with what came of them."""

    caption: ClassVar[str] = "Imports"
    one, many = "import", "imports"
    empty_title: ClassVar[str] = "Nothing was imported yet"
    nothing_yet: ClassVar[str] = "Send a zip of sheets, or the sheets themselves."
    name = Column(verbose_name="What", linkify=("importing:run_page", {"pk": A("pk")}))
    asked_at = MomentColumn(verbose_name="Asked for")
    by = Column(verbose_name="By")
    state = Column(verbose_name="What came of it")
    problems = NumberColumn(verbose_name="Problems", orderable=False)

    def render_name(self, value: str) -> str:
        return value

    def render_state(self, value: str, record: ImportRun) -> str:
        return came_of_it(record)

    def value_state(self, value: str) -> str:
        return value

    def render_problems(self, value: list[Any]) -> str:
        return f"{len(value):,}"

    def value_problems(self, value: list[Any]) -> int:
        return len(value)


class CountTable(Table):
    """Rows of one import by sheet."""

    caption: ClassVar[str] = "Rows by sheet"
    stays: ClassVar[bool] = True
    one, many = "sheet", "sheets"
    sheet = Column(verbose_name="Sheet", orderable=False)
    new = NumberColumn(verbose_name="New", orderable=False)
    known = NumberColumn(verbose_name="Known", orderable=False)
    left_out = NumberColumn(verbose_name="Left out", orderable=False)

    def render_sheet(self, value: str) -> str:
        return SHEETS[value].title


class ProblemTable(Table):
    """Every problem of an import, to be put right in the spreadsheet or left out."""

    caption: ClassVar[str] = "Problems by row"
    one, many = "problem", "problems"
    sheet = Column(verbose_name="Sheet")
    row = NumberColumn(verbose_name="Row", empty_values=(None, 0))
    column = Column(verbose_name="Column")
    value = Column(verbose_name="Value", orderable=False)
    sentence = Column(verbose_name="What is wrong", orderable=False)
    remedy = Column(verbose_name="What to do", orderable=False)
    leave_out = TemplateColumn(
        template_name="importing/leave_out.html",
        verbose_name="Leave out",
        orderable=False,
        exclude_from_export=True,
    )


def came_of_it(run: ImportRun) -> str:
    """Return in words what came of an import."""
    if run.state != ImportState.DONE:
        return WORDS[ImportState(run.state)]
    new = sum(count.get("new", 0) for count in run.counts.values())
    return f"{new:,} row{'s'[: new != 1]} written" if new else "nothing was new"
