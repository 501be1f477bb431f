"""The tables of grants, their costs and claims."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from django.urls import reverse
from django.utils.html import format_html

from program.ledger.tables import LAST, entry_link
from shared.tables import Column, DateColumn, MoneyColumn, SayColumn, Table
from shared.templatetags.handback import say

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from program.grants.gathering import CostRow, GrantRow
    from program.grants.sheet import AnswerRow, ClaimRow


class GrantTable(Table):
    """Every grant: what it is worth, what was claimed, what is next."""

    caption: ClassVar[str] = "Grants"
    looks: ClassVar[str] = "pairs"
    one, many = "grant", "grants"
    empty_title: ClassVar[str] = "There is no grant"
    nothing_yet: ClassVar[str] = "A grant is written down when its award letter is here."
    name = Column(verbose_name="Grant", footer="Sum")
    award = MoneyColumn(verbose_name="Award", total=True)
    claimed = MoneyColumn(verbose_name="Claimed", total=True)
    paid = MoneyColumn(verbose_name="Paid", total=True)
    left = MoneyColumn(verbose_name="Left", total=True)
    ends_on = DateColumn(verbose_name="Ends")
    due_on = DateColumn(verbose_name="Next claim due")

    def render_name(self, record: GrantRow, value: str) -> SafeString:
        url = reverse("grants:grant_page", args=[record.pk])
        link = format_html('<a href="{}">{}</a>', url, value)
        if record.warning is None:
            return format_html('{}<span class="sub">{}</span>', link, record.funder)
        return format_html('{}<span class="sub">{}</span>', link, say(record.warning))

    def value_name(self, value: str) -> str:
        return value


class CostTable(Table):
    """Costs that a grant allows and that stand in no claim."""

    caption: ClassVar[str] = "Costs that can be claimed"
    one, many = "cost", "costs"
    empty_title: ClassVar[str] = "No cost can be claimed"
    nothing_yet: ClassVar[str] = "A cost appears here when it is booked and the grant allows it."
    on = DateColumn(verbose_name="Day", attrs={"td": {"class": "min"}}, footer="Sum")
    what = Column(verbose_name="What")
    case = Column(verbose_name="Case")
    account = Column(verbose_name="Account")
    fund = Column(verbose_name="Paid from")
    cents = MoneyColumn(verbose_name="Amount", total=True, attrs=LAST)

    def render_what(self, record: CostRow, value: str) -> SafeString:
        link = entry_link(record.entry, value)
        notes = ["of an earlier cycle"] if record.earlier else []
        notes += ["refused: another grant may claim it"] if record.freed else []
        if notes:
            return format_html('{}<span class="sub">{}</span>', link, "; ".join(notes))
        return link

    def value_what(self, value: str) -> str:
        return value

    def render_case(self, value: str) -> str:
        return value or "–"

    def value_case(self, value: str) -> str:
        return value


class OtherTable(CostTable):
    """Costs of the grant's days that it does not pay for."""

    caption: ClassVar[str] = "Costs that don’t qualify"
    empty_title: ClassVar[str] = "Every cost qualifies"
    nothing_yet: ClassVar[str] = "No cost of these days stands outside the terms."
    why = SayColumn(verbose_name="Why not")


class DraftTable(CostTable):
    """What a draft may take, each with its tick; the ticks belong to the form below."""

    caption: ClassVar[str] = "Costs of this claim"
    tick = Column(verbose_name="Claim it", accessor="ticked", orderable=False, footer="Sum")
    on = DateColumn(verbose_name="Day")  # not narrow: it does not name its row

    class Meta:
        sequence = ("tick", "...")
        exclude = ("fund",)

    def render_tick(self, record: CostRow, *, value: bool) -> SafeString:
        return format_html(
            '<input type="hidden" name="shown" value="{}" form="choose">'
            '<label class="pick" for="cost-{}"><input type="checkbox" id="cost-{}" name="chosen"'
            ' value="{}" form="choose"{}><span class="sr">Claim entry {}, {}</span></label>',
            *(record.id, record.id, record.id, record.id),
            format_html(" {}", "checked") if value else "",
            *(record.entry, record.what),
        )

    def value_tick(self, *, value: bool) -> str:
        return "yes" if value else "no"


class ClaimTable(Table):
    """The claims of one grant, newest first."""

    caption: ClassVar[str] = "Claims by number"
    one, many = "claim", "claims"
    empty_title: ClassVar[str] = "Nothing was claimed yet"
    nothing_yet: ClassVar[str] = "A claim is begun when its cycle is over."
    number = Column(verbose_name="No.")
    span = Column(verbose_name="Costs of")
    state = Column(verbose_name="Where it stands")
    sent_on = DateColumn(verbose_name="Sent")
    paid_on = DateColumn(verbose_name="Answered")
    cents = MoneyColumn(verbose_name="Amount", attrs=LAST)

    class Meta:
        orderable = False

    def render_number(self, record: ClaimRow, value: int) -> SafeString:
        url = reverse("grants:claim_page", args=[record.pk])
        return format_html('<a href="{}">Claim {}</a>', url, value)


class AnswerTable(Table):
    """What the funder answered to a claim, by day; what was taken back stays in the list."""

    caption: ClassVar[str] = "Answers of the funder"
    one, many = "answer", "answers"
    on = DateColumn(verbose_name="Day", attrs={"td": {"class": "min"}})
    what = Column(verbose_name="Answer")
    entry = Column(verbose_name="Entry")
    cents = MoneyColumn(verbose_name="Amount", attrs=LAST)

    class Meta:
        orderable = False

    def render_what(self, record: AnswerRow, value: str) -> SafeString | str:
        notes = [record.reason] if record.reason else []
        notes += ["taken back"] if record.back else []
        if not notes:
            return value
        return format_html('{}<span class="sub">{}</span>', value, "; ".join(notes))

    def render_entry(self, record: AnswerRow, value: int) -> SafeString:
        link = entry_link(value, f"entry {value}")
        if record.back is None:
            return link
        back = entry_link(record.back, f"entry {record.back}")
        return format_html("{}, reversed by {}", link, back)
