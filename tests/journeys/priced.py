"""Prices of one car, so that each page of estimates has something, and their addresses."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import uuid4

from tests.journeys.looked_into import Rows, each
from vehicles.estimates.actions import choose_quote, record_quote, withdraw_quote
from vehicles.models import Need, Quote, RepairItem
from vehicles.repairs.computing import make_estimate
from vehicles.repairs.costs import rates_of
from vehicles.repairs.queries import given_of

if TYPE_CHECKING:
    from shared.models import User
    from vehicles.models import Intake


def need_of(stay: Intake) -> Need:
    """Return the need whose prices are looked at."""
    return Need.objects.open().filter(item__intake=stay, price_cents__gt=0).latest("pk")


def price(stay: Intake, by: User) -> None:
    """Let somebody ask three places for one part: one is chosen, one has a paper, one is gone."""
    need, today = need_of(stay), stay.program.today()
    quotes = [
        record_quote(
            about=need,
            client_key=uuid4(),
            paper=paper,
            by=by,
            supplier=supplier,
            source="counter",
            cents=cents,
            quoted_on=today,
        )
        for supplier, cents, paper in (
            ("Quayside Auto Parts", 61_00, b"%PDF-1.7"),
            ("Mill Lane Parts Counter", 58_00, b""),
            ("Ferry Road Salvage", 40_00, b""),
        )
    ]
    choose_quote(quote=quotes[1], by=by)
    withdraw_quote(quote=quotes[2], because="Sold meanwhile.", by=by)


def estimates(stay: Intake) -> Rows:
    """Return the addresses of estimates and prices, with what they take."""
    rates = rates_of(stay.program)
    make_estimate(intake=stay, given=given_of(stay), rates=rates, by=None)
    need = need_of(stay)
    item = RepairItem.objects.open().filter(intake=stay).latest("pk").pk
    done = RepairItem.objects.filter(program=stay.program, state="done")
    paid, unpaid = (done.filter(took_minutes=None), done.exclude(took_minutes=None))
    took = [[row.intake_id, row.pk] for row in (paid.latest("pk"), unpaid.latest("pk"))]
    quote = Quote.objects.exclude(paper_type="").latest("pk").pk
    return [
        ("estimates:estimate_page", [[stay.pk], [took[0][0]]]),
        ("estimates:estimate_file", [[stay.pk, "en"], [stay.pk, "es"]]),
        ("estimates:need_prices", [[stay.pk, need.pk]]),
        *each([[stay.pk, item]], "estimates:item_prices", "estimates:finish_item"),
        ("estimates:record_actuals", took),
        *each([[stay.pk, quote]], "estimates:choose_quote", "estimates:withdraw_quote"),
        ("estimates:quote_file", [[stay.pk, quote]]),
    ]
