"""The list of gifts with a purpose."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.html import format_html

from program.ledger.tables import LAST
from shared.tables import Column, DateColumn, MoneyColumn, Table

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from program.gifts.models import Offer


class OfferTable(Table):
    """Every gift with a purpose, the newest first."""

    caption = "Gifts with a purpose"
    one, many = "gift", "gifts"
    empty_title = "No gift was entered yet"
    nothing_yet = "A gift with a purpose is entered, tested and decided before it is booked."
    giver = Column(verbose_name="Giver")
    on = DateColumn(verbose_name="Offered")
    goes = Column(verbose_name="For", empty_values=(), orderable=False)
    state = Column(verbose_name="Stands")
    cents = MoneyColumn(verbose_name="Amount", attrs=LAST)

    def render_giver(self, record: Offer) -> SafeString:
        return format_html(
            '<a href="{}">{}</a>', reverse("gifts:offer_page", args=[record.pk]), record.giver
        )

    def value_giver(self, value: str) -> str:
        return value

    def render_goes(self, record: Offer) -> str:
        return record.fund.name if record.fund else f"{record.fund_name} (new)"

    def render_state(self, record: Offer) -> str:
        return record.get_state_display().capitalize()
