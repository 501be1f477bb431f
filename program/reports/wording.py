"""What the file of the books says of itself."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

#: The zip in the file of the books that the page of imports takes.
SHEETS_OF_BOOKS: Final = "ledger-sheets.zip"


def read_me(name: str, from_on: dt.date, until_on: dt.date, counts: Mapping[str, int]) -> str:
    """Return the text that opens the file: what lies in it, and how it is checked and read back."""
    return f"""The books of {name}
{from_on} to {until_on}

journal.csv          every transfer: who booked it, what caused it, what it reverses
accounts.csv         the chart of accounts
balances.csv         each fund and account: at the start, moved, at the end
statements/          the statements of these days, as PDF and as CSV
budget/              the budget of each year that has one, as PDF and as CSV
months.csv           when each month was shut, and opened again
papers/              the papers behind the entries; each name begins with the number of its entry
papers.csv           the same as a list, with the checksum that each paper had when it was kept
without_paper.csv    spends behind which no paper lies
sample.csv           spends drawn by chance, with how many papers lie behind each
ledger-sheets.zip    funds and transfers, as the page of imports takes them
SHA256SUMS           checksums of all of it: sha256sum --check SHA256SUMS

{counts["transfers"]:,} transfers, {counts["papers"]:,} papers.
{_bare(counts["without_paper"], counts["spends"])}
{_lost(counts["papers_lost"])}
The sample is drawn by Python's random.Random({counts["seed"]}).sample over the numbers of the
spends in rising order, so that anybody draws the same one again.

Text that a spreadsheet would take for a formula has an apostrophe before it. Amounts are plain
decimals in US dollars. Money that plans set aside stands in journal.csv and not in
ledger-sheets.zip: it belongs to plans, which the sheets don't hold.

Not audited. What stands here is what was booked; an accountant decides what it means.
"""


def _bare(bare: int, spends: int) -> str:
    if not bare:
        return f"A paper lies behind each of the {spends:,} spends."
    return f"{bare:,} of {spends:,} spends have no paper: without_paper.csv names them."


def _lost(lost: int) -> str:
    if not lost:
        return "Every paper is as it was kept."
    if lost == 1:
        return "1 paper is gone or changed: papers.csv names it."
    return f"{lost:,} papers are gone or changed: papers.csv names them."
