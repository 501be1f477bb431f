"""Tables of a document: heads that are read with their cells, and a row that names itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from reportlab.lib.colors import black
from reportlab.platypus import Table
from reportlab.platypus.tables import TableRenderCB

from shared.documents.pieces import LINE, Look, words
from shared.documents.tagging import Node
from shared.documents.typefaces import TEXT

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence


@dataclass(frozen=True, kw_only=True)
class Column:
    """One column of a table: its head, its width in points, figures to the right, bold or not.

    The column that `names` says what each row is about.
    """

    head: str
    width: float
    right: bool = False
    bold: bool = False
    names: bool = False


class _TableTags(TableRenderCB):
    """Brackets the cells of one table; a head repeated on the next page isn't read again."""

    def __init__(self, *, headed: bool, naming: int) -> None:
        self.headed, self.naming = headed, naming
        self.node: Node | None = None
        self.row = 0
        self.again = False

    def startTable(self, table: Any) -> None:  # noqa: N802
        self.again = self.node is not None
        self.node = self.node or Node("Table", table.canv.stack[-1])
        table.canv.stack.append(self.node)

    def startRow(self, table: Any, row: int) -> None:  # noqa: N802
        self.row = row
        if not self._repeats:
            table.canv.stack.append(Node("TR", table.canv.stack[-1]))

    @property
    def _repeats(self) -> bool:
        return self.again and self.headed and self.row == 0

    def startCell(self, table: Any, row: int, column: int, *_rest: Any) -> None:  # noqa: N802
        if self._repeats:
            table.canv.artifact()
            return
        scope = ""
        if self.headed and row == 0:
            scope = "Column"
        elif column == self.naming:
            scope = "Row"
        attrs = {"Scope": scope} if scope else {}
        table.canv.begin(Node("TH" if scope else "TD", table.canv.stack[-1], **attrs))

    def endCell(self, table: Any, *_rest: Any) -> None:  # noqa: N802
        table.canv.end()

    def endRow(self, table: Any) -> None:  # noqa: N802
        if not self._repeats:
            table.canv.stack.pop()

    def startBG(self, table: Any) -> None:  # noqa: N802
        table.canv.artifact()

    def endBG(self, table: Any) -> None:  # noqa: N802
        table.canv.end()

    startLines, endLines = startBG, endBG  # noqa: N815

    def endTable(self, table: Any) -> None:  # noqa: N802
        table.canv.stack.pop()


def table(
    columns: Sequence[Column],
    rows: Sequence[Sequence[str]],
    size: float = 9,
    pad: float = 2,
    strong: Collection[int] = (),
) -> Table:
    """Return rows under their heads; unless a column says so, the first one names each row.

    The rows whose numbers stand in `strong` are bold: sums, and headings over others. None of them
    ends a page, and the last one doesn't begin one.
    """
    headed = any(column.head for column in columns)
    naming = next((n for n, column in enumerate(columns) if column.names), 0)
    cells = [
        [
            words(text, Look(size=size, bold=column.bold or n in strong, right=column.right))
            for column, text in zip(columns, row, strict=True)
        ]
        for n, row in enumerate(rows)
    ]
    if headed:
        heads = [
            words(column.head, Look(size=size - 1, gray=True, right=column.right))
            for column in columns
        ]
        cells.insert(0, heads)
    drawn = Table(
        cells,
        colWidths=[column.width for column in columns],
        repeatRows=int(headed),
        renderCB=_TableTags(headed=headed, naming=naming),
        hAlign="LEFT",
    )
    room = [
        ("RIGHTPADDING", (n, 0), (n, -1), 12) for n, column in enumerate(columns) if column.right
    ]
    together = [
        ("NOSPLIT", (0, n + headed), (-1, n + headed + 1))
        for n in {min(n, len(rows) - 2) for n in strong}
        if n >= 0
    ]
    drawn.setStyle([*_lines(headed=headed, pad=pad), *room, *together])
    return drawn


def _lines(*, headed: bool, pad: float) -> list[tuple[Any, ...]]:
    """Return the rules of a table: ink under its head and at its end, hairlines between."""
    whole = ((0, 0), (-1, -1))
    return [
        ("FONT", *whole, TEXT, 9),  # the paragraphs bring their own; no other font is named
        ("VALIGN", *whole, "TOP"),
        ("LEFTPADDING", *whole, 0),
        ("RIGHTPADDING", *whole, 6),
        ("TOPPADDING", *whole, pad),
        ("BOTTOMPADDING", *whole, pad + 0.5),
        ("LINEBELOW", *whole, 0.4, LINE),
        ("LINEBELOW", (0, -1), (-1, -1), 0.8, black),
        *([("LINEBELOW", (0, 0), (-1, 0), 1.2, black)] if headed else []),
    ]
