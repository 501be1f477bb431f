"""Transfers and funds for tests of the ledger: every default is valid."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from hypothesis import strategies as st

from program.ledger.chart import Kind, Role, load
from program.ledger.ledger import Transfer
from program.ledger.restrictions import Fund

if TYPE_CHECKING:
    from collections.abc import Sequence

CHART = load()
FUNDS = {
    "GEN": Fund(code="GEN", name="general fund"),
    "PRU": Fund(code="PRU", name="Pruitt gift", restricted=True),
    "WIN": Fund(code="WIN", name="winter collection", restricted=True),
}
DAY = date(2026, 11, 25)
YEAR = {"from_on": date(2026, 1, 1), "until_on": date(2026, 12, 31)}


def make_transfer(**fields: Any) -> Transfer:
    defaults = {
        "entry": "e1",
        "on": DAY,
        "debit": "1010",
        "credit": "4010",
        "cents": 10000,
        "fund": "GEN",
    }
    return Transfer(**{**defaults, **fields})


def pairs(rows: Sequence[tuple[str, str, int]], fund: str = "GEN") -> list[Transfer]:
    """Return a transfer for each row of debit, credit and whole dollars."""
    return [
        make_transfer(
            entry=f"{fund}{number}", debit=debit, credit=credit, cents=dollars * 100, fund=fund
        )
        for number, (debit, credit, dollars) in enumerate(rows)
    ]


PLAIN = sorted(
    code
    for code, account in CHART.items()
    if account.kind != Kind.MEMO and account.role not in {Role.RELEASED_FROM, Role.RELEASED_TO}
)


@st.composite
def transfers(draw: st.DrawFn) -> Transfer:
    """Draw a valid transfer inside one fund; entries are named by a number."""
    debit, credit = draw(st.lists(st.sampled_from(PLAIN), min_size=2, max_size=2, unique=True))
    return Transfer(
        entry=f"e{draw(st.integers(0, 40))}",
        on=draw(st.dates(date(2025, 7, 1), date(2026, 12, 31))),
        debit=debit,
        credit=credit,
        cents=draw(st.integers(1, 10**9)),
        fund=draw(st.sampled_from(sorted(FUNDS))),
    )
