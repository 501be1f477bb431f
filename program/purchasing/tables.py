"""The list of needs, and what one of them may be."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, ClassVar

from django.urls import reverse
from django.utils.html import format_html, format_html_join

from shared.money import usd
from shared.tables import (
    Column,
    DateColumn,
    MarkColumn,
    MoneyColumn,
    NumberColumn,
    Table,
    TagColumn,
)
from shared.templatetags import handback
from vehicles.repairs.parts import Fitment, PartCondition, in_words
from vehicles.repairs.substitutes import verdicts
from vehicles.repairs.suitability import Answer
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from program.purchasing.queries import NeedRow
    from program.purchasing.stages import Stage
    from vehicles.repairs.models import Need
    from vehicles.repairs.suitability import Fit

BUYABLE_NEVER = "can’t be bought"


class NeedTable(Table):
    """Needs with where they stand, whether they fit, and what they cost if bought."""

    caption: ClassVar[str] = "Needs"
    one, many = "need", "needs"
    empty_title: ClassVar[str] = "No part is lacking"
    nothing_yet: ClassVar[str] = "A need appears here when a repair item lacks a part."
    title = Column(verbose_name="Part", accessor="need__title")
    case = TagColumn(verbose_name="Case")
    tier = MarkColumn(verbose_name="Tier", accessor="need__tier")
    quantity = NumberColumn(verbose_name="Needed", accessor="need__quantity")
    stage = Column(verbose_name="Stage", order_by="rank")
    fits = Column(verbose_name="Fits, may be", accessor="need", orderable=False)
    needed_by_on = DateColumn(verbose_name="Needed by", accessor="need__needed_by_on")
    price = MoneyColumn(verbose_name="One, if bought", accessor="need__price_cents")

    def render_title(self, value: str, record: NeedRow) -> SafeString:
        gate = f"Waits behind “{record.held.title}”." if record.held else ""
        lines = [record.car, f"for {record.need.item.title}", gate]
        page = reverse("purchasing:need_page", args=[record.need.pk])
        return format_html('<a href="{}">{}</a>{}', page, value, _subs(lines))

    def value_title(self, value: str) -> str:
        return value

    def render_case(self, value: str) -> SafeString | str:
        return handback.tag(value) if value else self.default

    def render_quantity(self, value: int, record: NeedRow) -> SafeString | int:
        if not record.kept or record.stage.is_closed:
            return value
        return format_html("{}{}", value, _subs([f"{record.kept} kept"]))

    def value_quantity(self, value: int) -> int:
        return value

    def render_stage(self, value: Stage) -> SafeString:
        return handback.mark(value.mark, value.label)

    def value_stage(self, value: Stage) -> str:
        return value.label

    def render_fits(self, value: Need, record: NeedRow) -> SafeString:
        words = fitment_of(value)
        asking = record.asking
        ask = f"Ask: {asking.who}, by {handback.day(asking.by_on)}" if asking.what else ""
        return format_html("{}{}", words, _subs([may_be_in_words(value), ask, asking.checked]))

    def value_fits(self, value: Need, record: NeedRow) -> str:
        ask = "; ask" if record.asking.what else ""
        return f"{fitment_of(value)}; {may_be_in_words(value)}{ask}"

    def render_price(self, value: int, record: NeedRow) -> SafeString:
        return format_html("{}{}", handback.money(value), _subs([price_source(record.need)]))

    def value_price(self, value: int) -> Decimal:
        return Decimal(value).scaleb(-2)


class ConditionTable(Table):
    """What a part may be, why or why not, and where the rule is from."""

    caption: ClassVar[str] = "What it may be"
    condition = Column(verbose_name="Part", orderable=False)
    fit = Column(verbose_name="Taken", orderable=False)
    source = Column(verbose_name="Rule from", orderable=False)

    def render_condition(self, value: str) -> str:
        return value.capitalize()

    def render_fit(self, value: Fit) -> SafeString:
        return format_html("{}{}", TAKEN[value.answer], _subs([handback.say(value.reason)]))

    def render_source(self, value: object) -> str:
        return handback.say(value)  # type: ignore[arg-type]  # a Say


TAKEN = {Answer.FITS: "yes", Answer.ASK: "ask first", Answer.DOES_NOT_FIT: "no"}


def fitment_of(need: Need) -> str:
    """Return what a need says of the part, in words; the car where it says nothing."""
    stated = in_words(Fitment.from_dict(need.fitment))
    car = " ".join(str(need.car[name]) for name in ("year", "make", "model") if name in need.car)
    return stated or f"as for a {car}"


def may_be_in_words(need: Need) -> str:
    """Return the conditions that a need takes, such as `new, rebuilt; used, ask first`."""
    rows = verdicts(need.kind, System(need.system))
    taken = [one for one in rows if one.condition in (need.may_be or list(PartCondition))]
    words = [one.condition.value for one in taken if one.fit.answer is Answer.FITS]
    asked = [one.condition.value for one in taken if one.fit.answer is Answer.ASK]
    return ", ".join(words) + (f"; {', '.join(asked)}: ask first" if asked else "")


def shown_in_words(row: NeedRow) -> str:
    """Return whether sponsors see a need, and if not, why not yet."""
    if row.stage.is_closed:
        return f"no: it is {row.stage.label.lower()}"
    if row.held:
        return f"not yet: “{row.held.title}” comes first"
    if not row.need.approved_text:
        return "not yet: nobody has approved a text for them"
    if row.kept >= row.need.quantity:
        return "no: a part is kept for it"
    return f"yes: “{row.need.approved_text}”"


def price_source(need: Need) -> str:
    """Return where a price is from, and of which day."""
    on = f", {handback.day(need.priced_on)}" if need.priced_on else ""
    return f"{need.price_source}{on}" if need.price_source else ""


def price_in_words(need: Need) -> str:
    """Return what one costs if bought, with source and day."""
    if need.price_cents is None:
        return BUYABLE_NEVER
    return ", ".join(one for one in (usd(need.price_cents), price_source(need)) if one)


def _subs(lines: list[str]) -> SafeString:
    return format_html_join("", '<span class="sub">{}</span>', ((line,) for line in lines if line))
