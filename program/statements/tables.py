"""The tables of the statements."""

from __future__ import annotations

from program.ledger.tables import LAST, account, capital
from shared.tables import Column, MoneyColumn, Table
from shared.templatetags import handback


class TrialTable(Table):
    """The trial balance."""

    caption = "Trial balance by account"
    stays = True
    one, many = "account", "accounts"
    nothing_yet = "No account has a balance."
    account = Column(verbose_name="Account", footer="Together")
    debit = MoneyColumn(verbose_name="Debit", total=True)
    credit = MoneyColumn(verbose_name="Credit", total=True, attrs=LAST)

    class Meta:
        orderable = False

    def render_account(self, value: str) -> str:
        return account(value)

    def render_debit(self, value: int) -> str:
        return handback.money(value or None)

    def render_credit(self, value: int) -> str:
        return handback.money(value or None)


class ActivityTable(Table):
    """The statement of activities: what changed the net assets, by donor restriction."""

    caption = "Activities by account"
    looks = "pairs"
    one, many = "line", "lines"
    name = Column(verbose_name="Line")
    without = MoneyColumn(verbose_name="Without restriction")
    with_ = MoneyColumn(verbose_name="With restriction")
    total = MoneyColumn(verbose_name="Total", attrs=LAST)

    class Meta:
        orderable = False


class FundLineTable(Table):
    """How each fund came from its opening to its closing balance."""

    caption = "Funds over the span"
    looks = "pairs"
    one, many = "fund", "funds"
    fund = Column(verbose_name="Fund", footer="Together")
    opening = MoneyColumn(verbose_name="At the start", total=True)
    income = MoneyColumn(verbose_name="Came in", total=True)
    spending = MoneyColumn(verbose_name="Went out", total=True)
    moved = MoneyColumn(verbose_name="Moved", total=True)
    closing = MoneyColumn(verbose_name="At the end", total=True, attrs=LAST)

    class Meta:
        orderable = False

    def __init__(self, *args: object, names: dict[str, str], **kwargs: object) -> None:
        self.names = names
        super().__init__(*args, **kwargs)

    def render_fund(self, value: str) -> str:
        return capital(self.names[value])
