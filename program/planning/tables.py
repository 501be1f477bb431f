"""The tables of the week."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.html import format_html, format_html_join
from django_tables2 import A

from shared.dates import long_date
from shared.tables import (
    FIGURE,
    Column,
    DateColumn,
    MinutesColumn,
    MoneyColumn,
    NumberColumn,
    Table,
    TagColumn,
)
from shared.templatetags import handback

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from program.planning.history import PastPlan
    from program.planning.outcome import FundUse, Wanted, WeekUse
    from program.planning.sheet import HomeRow, WaitRow


def _tag(number: str) -> SafeString:
    return handback.tag(number, reverse("desk:case_page", args=[number]))


class HomeTable(Table):
    """The cars that go home, with what each takes and who pays."""

    caption = "Cars that go home"
    looks = "pairs sum"
    one, many = "car", "cars"
    nothing_yet = "No car can go home with this money, these hours and these parts."
    number = TagColumn(verbose_name="Case", footer="Together")
    household = Column(verbose_name="Household, car", attrs={"td": {"class": "a"}})
    work = Column(verbose_name="Work left")
    need_weight = NumberColumn(verbose_name="Need", total=True)
    minutes = MinutesColumn(verbose_name="Hours", total=True)
    cash_cents = MoneyColumn(verbose_name="Cash", total=True)
    paid_by = Column(verbose_name="Paid by")
    days = Column(verbose_name="Home")

    class Meta:
        orderable = False

    def render_number(self, value: str) -> SafeString:
        return _tag(value)

    def render_household(self, record: HomeRow) -> SafeString:
        return format_html('{}<span class="sub">{}</span>', record.household, record.car)

    def render_paid_by(self, record: HomeRow) -> SafeString | str:
        if not record.paid_by:
            return "nothing left to pay"
        rows = ((name, handback.money(cents)) for name, cents in record.paid_by)
        return format_html_join("", '<span class="sub">{} {}</span>', rows)

    def render_work(self, record: HomeRow) -> SafeString:
        url = reverse("planning:case_why", args=[record.plan, record.number])
        return format_html(
            '{}<a class="sub" href="{}">Why<span class="sr"> {}</span></a>',
            record.work,
            url,
            record.number,
        )

    def render_days(self, value: str) -> SafeString:
        return format_html('<span class="nb">{}</span>', value)


class WantedTable(Table):
    """Parts by the need that each would free."""

    caption = "What to ask for first"
    looks = ""
    one, many = "part", "parts"
    nothing_yet = "No single part would bring another car home."
    label = Column(verbose_name="Part")
    freed = Column(verbose_name="Frees")
    weight = NumberColumn(verbose_name="Need", empty_values=(None, 0))
    cents_saved = MoneyColumn(verbose_name="Saves", empty_values=(None, 0))

    class Meta:
        orderable = False

    def render_label(self, record: Wanted) -> SafeString:
        told = f"{record.sentence} {record.cash}".strip()
        return format_html('{}<span class="sub">{}</span>', record.label, told)

    def render_freed(self, value: tuple[str, ...]) -> SafeString:
        return format_html_join(" ", "{}", ((_tag(number),) for number in value))


class FundTable(Table):
    """What each fund has, gives, and has left."""

    caption = "Funds of this plan"
    one, many = "fund", "funds"
    name = Column(verbose_name="Fund", footer="Together")
    free_cents = MoneyColumn(verbose_name="Free before", total=True)
    kept_cents = MoneyColumn(verbose_name="Kept back", total=True)
    plan_cents = MoneyColumn(verbose_name="This plan", total=True)
    left_cents = MoneyColumn(verbose_name="Left", total=True, attrs={"cell": {"class": "n col"}})

    class Meta:
        orderable = False

    def render_name(self, record: FundUse) -> str:
        return record.name[:1].upper() + record.name[1:]


class HoursTable(Table):
    """The hours of each week."""

    caption = "Hours and bays by week"
    looks = "fit"
    stays = True
    one, many = "week", "weeks"
    starts_on = Column(verbose_name="Week of", footer="Together")
    minutes_there = MinutesColumn(verbose_name="Hours there", total=True)
    minutes_used = MinutesColumn(verbose_name="Given out", total=True)
    minutes_left = MinutesColumn(
        verbose_name="Left", total=True, attrs={"cell": {"class": "n col"}}
    )
    bays = Column(verbose_name="Bay days", empty_values=(), attrs=FIGURE)
    lifts = Column(verbose_name="On a lift", empty_values=(), attrs=FIGURE)

    class Meta:
        orderable = False

    def render_starts_on(self, record: WeekUse) -> str:
        return long_date(record.starts_on).partition(", ")[2]

    def render_bays(self, record: WeekUse) -> str:
        return f"{record.bay_days_used} of {record.bay_days_there}"

    def render_lifts(self, record: WeekUse) -> str:
        return f"{record.lift_days_used} of {record.lift_days_there}"


class PlanTable(Table):
    """The approved plans, newest first."""

    caption = "Plans, the newest first"
    one, many = "plan", "plans"
    empty_title = "No plan was approved yet"
    nothing_yet = "Each approved plan stays here with what it promised."
    number = Column(verbose_name="Plan", linkify=("planning:plan_page", [A("number")]))
    approved_on = DateColumn(verbose_name="Approved")
    approved_by = Column(verbose_name="By")
    value = NumberColumn(verbose_name="Need")
    cars = NumberColumn(verbose_name="Cars promised")
    due = NumberColumn(verbose_name="Days that came")
    kept = NumberColumn(verbose_name="Kept")
    cash_cents = MoneyColumn(verbose_name="Newly set aside")

    def render_number(self, record: PastPlan) -> str:
        return f"Plan {record.number}{', in force' if record.in_force else ''}"


class PromiseTable(Table):
    """What one plan promised, car by car, and what happened."""

    caption = "What was promised and what happened"
    looks = "pairs sum"
    one, many = "car", "cars"
    nothing_yet = "This plan promised no car."
    number = TagColumn(verbose_name="Case", footer="Together")
    household = Column(verbose_name="Household")
    from_on = DateColumn(verbose_name="As likely as not")
    by_on = DateColumn(verbose_name="Promised")
    happened = Column(verbose_name="What happened")
    minutes = MinutesColumn(verbose_name="Hours", total=True)
    cash_cents = MoneyColumn(verbose_name="Cash", total=True)

    class Meta:
        orderable = False

    def render_number(self, value: str) -> SafeString:
        return _tag(value)


class WaitTable(Table):
    """Every car that waits, with what it lacks at the least."""

    caption = "Cars that wait"
    looks = "pairs"
    one, many = "car", "cars"
    nothing_yet = "No car waits for money, hours, bays or parts."
    number = TagColumn(verbose_name="Case")
    household = Column(verbose_name="Household, car", attrs={"td": {"class": "a"}})
    need_weight = NumberColumn(verbose_name="Need")
    lacks = Column(verbose_name="It")

    def render_number(self, value: str) -> SafeString:
        return _tag(value)

    def render_household(self, record: WaitRow) -> SafeString:
        return format_html('{}<span class="sub">{}</span>', record.household, record.car)

    def render_lacks(self, record: WaitRow) -> SafeString:
        url = reverse("planning:case_why", args=[record.plan, record.number])
        return format_html('<a href="{}">{}</a>', url, record.lacks)
