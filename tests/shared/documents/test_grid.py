"""Tables of a document."""

from __future__ import annotations

from io import BytesIO

from pypdf import PdfReader

from shared.documents.grid import Column, table
from shared.documents.pdf import build, letterhead
from tests.shared.documents.reading import COLUMNS, PAPER, elements, read, roles


def test_a_table_says_which_cells_are_heads_and_what_they_head() -> None:
    reader = read(table(COLUMNS, [("Pad", "120"), ("Hose", "30")]))
    cells = [(e["/S"], e["/A"]["/Scope"] if "/A" in e else "") for e in elements(reader)[5:]]
    assert (
        cells
        == [
            *(("/Table", ""), ("/TR", ""), ("/TH", "/Column"), ("/TH", "/Column")),
            *(("/TR", ""), ("/TH", "/Row"), ("/TD", "")),
            *(("/TR", ""), ("/TH", "/Row"), ("/TD", "")),
        ][: len(cells)]
    )
    assert len(cells) == 10


def test_the_column_that_names_a_row_need_not_be_the_first() -> None:
    columns = [Column(head="", width=20), Column(head="Part", width=100, names=True)]
    cells = roles(read(table(columns, [("☐", "Pad")])))
    assert cells[-3:] == ["/TR", "/TD", "/TH"]


def test_a_long_table_goes_on_with_its_head_which_is_read_once() -> None:
    rows = [(f"Part {n}", str(n)) for n in range(90)]
    content = build(PAPER, lambda: [*letterhead(PAPER, ""), table(COLUMNS, rows)])
    reader = PdfReader(BytesIO(content))
    assert len(reader.pages) == 3
    assert "Page 3 of 3" in reader.pages[2].extract_text()
    assert all("Cents" in page.extract_text() for page in reader.pages)
    assert roles(reader).count("/Table") == 1
    assert roles(reader).count("/TR") == 91


def test_a_sum_never_stands_alone_on_the_next_page() -> None:
    for count in range(20, 60):
        rows = [*((f"Part {n}", str(n)) for n in range(count)), ("Together", "9")]
        pages = texts(rows, strong=count)
        assert [f"Part {count - 1}" in page for page in pages if "Together" in page] == [True]


def test_a_heading_over_rows_never_ends_a_page() -> None:
    for count in range(20, 60):
        rows = [*((f"Part {n}", str(n)) for n in range(count)), ("Hoses", ""), ("Upper", "5")]
        pages = texts(rows, strong=count)
        assert ["Upper" in page for page in pages if "Hoses" in page] == [True]


def texts(rows: list[tuple[str, str]], strong: int) -> list[str]:
    """Return the words of each page of a table with one strong row."""
    content = build(PAPER, lambda: [table(COLUMNS, rows, strong={strong})])
    return [page.extract_text() for page in PdfReader(BytesIO(content)).pages]
