"""What the books refuse before an entry is written, and what they add to it."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError

from program.ledger.actions import Event, Line, RefusedError, post_entry, reverse_entry
from program.ledger.queries import held
from program.models import Entry, ShutMonth
from tests.factories import (
    TODAY,
    make_case,
    make_fund,
    make_household,
    make_intake,
    make_item,
    make_need,
    make_program,
    make_user,
)
from tests.program.ledger.booking import CASH, PARTS, free, fund_with, sentences, spend
from tests.program.published import published

if TYPE_CHECKING:
    from program.models import Case, Fund
    from vehicles.models import RepairItem

pytestmark = pytest.mark.django_db
RULE = {"systems": ["brakes", "tires"]}


def gift(cents: int = 50_000, **fields: Any) -> Fund:
    usual = {"code": "PRU", "name": "Pruitt gift", "restricted": True, "rule": RULE}
    return fund_with(cents, **usual | fields)


def car(county: str = "Alder County", **fields: Any) -> tuple[Case, RepairItem]:
    """Return a case and an item of work on its car, two front tires unless told otherwise."""
    case = make_case(household=make_household(county=county))
    return case, make_item(intake=make_intake(vehicle=case.vehicle), **fields)


def post(*lines: Line, key: str = "bill:1", on: dt.date = TODAY, **fields: Any) -> Entry:
    event = Event(key=key, on=on, what="Front tires")
    usual: dict[str, Any] = {"program": make_program(), "event": event, "by": None}
    return post_entry(lines=lines, **usual | fields)


def line(fund: Fund, **fields: Any) -> Line:
    usual: dict[str, Any] = {"debit": PARTS, "credit": CASH, "cents": 10_000, "fund": fund}
    return Line(**usual | fields)


def written(entry: Entry) -> list[tuple[Any, ...]]:
    rows = entry.transfers.order_by("pk")
    return list(rows.values_list("debit", "credit", "cents", "fund__code", "case", "memo"))


def shut(month: dt.date) -> ShutMonth:
    treasurer = make_user(first_name="Jonas", last_name="Reed")
    at = dt.datetime(2026, 12, 4, 15, tzinfo=dt.UTC)
    return ShutMonth.objects.create(
        program=make_program(), month=month, shut_by=treasurer, shut_at=at
    )


def test_money_spent_for_its_purpose_is_released_with_it() -> None:
    fund, (case, item) = gift(), car()
    entry = post(line(fund, case=case, item=item))
    assert written(entry) == [
        (PARTS, CASH, 10_000, "PRU", case.pk, ""),
        ("3210", "3220", 10_000, "PRU", case.pk, "released"),
    ]
    assert entry.transfers.order_by("pk").first().item == item  # type: ignore[union-attr]  # one


def test_a_reversal_takes_the_release_with_it_and_is_no_fact() -> None:
    fund, (case, item) = gift(), car()
    entry = post(line(fund, case=case, item=item))
    back = reverse_entry(entry=entry, on=TODAY, reason="Wrong car.", by=make_user())
    assert [row[:3] for row in written(back)] == [
        (CASH, PARTS, 10_000),
        ("3220", "3210", 10_000),
    ]
    assert (back.fact, free(fund), held(make_program()).account("3220")) == (False, 50_000, 0)


def test_a_restricted_fund_does_not_pay_for_the_wrong_work() -> None:
    fund, (case, item) = gift(), car(title="Alternator", system="electrical")
    make_fund(code="ANY", name="general fund")
    with pytest.raises(RefusedError) as refusal:
        post(line(fund, case=case, item=item))
    assert sentences(refusal) == [
        (
            "The Pruitt gift can't pay for “Alternator”. It pays only for brakes or tires. "
            "The general fund may."
        )
    ]
    assert [one.where for one in refusal.value.problems] == ["1.fund"]
    assert Entry.objects.count() == 1


@pytest.mark.parametrize(
    ("rule", "named", "remedy", "where"),
    [
        (RULE, False, "Name the case and its repair item.", "1.case"),
        (RULE, True, "Name the repair item.", "1.item"),
        ({"counties": ["orrin county"]}, False, "Name the case.", "1.case"),
    ],
)
def test_a_spend_that_leaves_open_what_the_rule_asks_is_told_what_to_add(
    *, rule: dict[str, list[str]], named: bool, remedy: str, where: str
) -> None:
    fund, (case, _) = gift(rule=rule), car()
    with pytest.raises(RefusedError) as refusal:
        post(line(fund, case=case if named else None))
    limit = "It pays only for brakes or tires." if rule == RULE else "It pays only in Orrin County."
    assert sentences(refusal) == [f"The Pruitt gift can't pay this yet. {limit} {remedy}"]
    assert refusal.value.problems[0].where == where


def test_a_household_of_another_county_is_refused() -> None:
    fund = gift(rule={"counties": ["orrin county"]})
    case, _ = car(county="Alder County")
    with pytest.raises(RefusedError, match=r"It pays only in Orrin County\. No other fund may\."):
        post(line(fund, case=case))
    there, _ = car(county="Orrin County")
    assert post(line(fund, case=there)).transfers.count() == 2


def test_a_kind_of_part_is_read_from_what_the_item_needs() -> None:
    fund, (case, item) = gift(rule={"part_kinds": ["radiator"]}), car(system="cooling")
    with pytest.raises(RefusedError, match="It pays only for radiator"):
        post(line(fund, case=case, item=item))
    make_need(item=item, kind="radiator")
    assert post(line(fund, case=case, item=item)).transfers.count() == 2


def test_a_kind_of_spend_follows_from_its_account() -> None:
    fund = gift(rule={"kinds": ["tools"]}, restricted=False)
    assert post(line(fund, debit="6060")).transfers.count() == 1
    with pytest.raises(
        RefusedError, match=r"can't pay for work done elsewhere\. It pays only for to"
    ):
        post(line(fund, debit="6030"), key="bill:2")


def test_a_fact_is_booked_against_the_rule_and_marked() -> None:
    entry = post(line(gift()), fact=True)
    assert (entry.fact, entry.transfers.count()) == (True, 2)


def test_an_item_belongs_to_the_case_of_its_line() -> None:
    fund, (case, _), (_, other) = gift(), car(), car()
    for named in (case, None):
        with pytest.raises(RefusedError, match="“Two front tires” is not of this line's case"):
            post(line(fund, case=named, item=other))


def test_only_an_expense_has_a_function() -> None:
    fund = fund_with(50_000)
    entry = post(line(fund, debit="6070", function="management"))
    assert entry.transfers.get().function == "management"
    for fields in ({"debit": "1020", "function": "program"}, {"function": "leisure"}):
        with pytest.raises(RefusedError, match="Only an expense has a function; line 1 is none"):
            post(line(fund, **fields), key="bill:2")


@pytest.mark.parametrize("fact", [False, True])
def test_a_shut_month_takes_nothing_not_even_a_fact(*, fact: bool) -> None:
    fund, row = fund_with(50_000), shut(dt.date(2026, 11, 1))
    with pytest.raises(RefusedError) as refusal:
        post(line(fund), fact=fact)
    assert sentences(refusal) == [
        (
            "November 2026 was shut by Jonas Reed on Friday, December 4, 2026. "
            "Book it on a day of an open month, or have the month opened again with a reason."
        )
    ]
    assert post(line(fund), on=dt.date(2026, 12, 1)).pk
    row.opened_at, row.opened_by, row.reason = row.shut_at, row.shut_by, "A late bill."
    row.save()
    assert post(line(fund), key="bill:2", fact=fact).on == TODAY


def test_a_reversal_does_not_land_in_a_shut_month() -> None:
    entry = spend(fund_with(50_000), 100)
    shut(dt.date(2026, 11, 1))
    user = make_user()
    with pytest.raises(ValidationError, match="November 2026 was shut by Jonas Reed"):
        reverse_entry(entry=entry, on=TODAY, reason="Wrong fund.", by=user)
    written_on = dt.date(2026, 12, 1)
    assert reverse_entry(entry=entry, on=written_on, reason="Wrong.", by=user).on == written_on


def test_a_published_campaign_releases_what_it_spent() -> None:
    # RF-04: textbook exercise “Good Health” items 9-10; the answer is derived from ASC 958.
    case = published()["RF-04"]
    fund = gift(case.inputs["restricted_campaign_cash"] * 100, rule={})
    spent = case.inputs["restricted_purpose_expense"] * 100
    entry = post(line(fund, debit="8010", cents=spent))
    assert written(entry)[1][2] == case.expected["released"] * 100
    books = held(make_program())
    with_restriction = -sum(books.account(code) for code in ("4010", "3210"))
    assert with_restriction == case.expected["remaining_with_restrictions"] * 100


def test_a_published_building_releases_the_restricted_part_in_service() -> None:
    # RF-05: textbook exercise “Good Health” items 4 and 6; ASU 2016-14 (answer derived).
    case = published()["RF-05"]
    given, own = (
        case.inputs[name] * 100 for name in ("restricted_for_building", "unrestricted_used")
    )
    fund = gift(given, rule={})
    general = fund_with(own)
    entry = post(line(fund, debit="1410", cents=given), line(general, debit="1410", cents=own))
    books = held(make_program())
    assert books.account("1410") == case.expected["building_cost"] * 100
    assert -books.account("3220") == case.expected["released_when_placed_in_service"] * 100
    assert entry.transfers.filter(fund=general).count() == 1


#: The accounts of the textbook's company as this chart has them.
NAMES = {
    "Cash": "1010",
    "Accounts receivable": "1110",
    "Interest receivable": "1030",
    "Supplies": "1220",
    "Equipment": "1410",
    "Accumulated depreciation": "1490",
    "Accounts payable": "2010",
    "Salaries payable": "2020",
    "Unearned revenue": "2110",
    "Common stock": "3010",
    "Dividends": "3110",
    "Service revenue": "5010",
    "Interest revenue": "5040",
    "Supplies expense": "6050",
    "Depreciation expense": "6130",
    "Salaries expense": "6100",
    "Utility expense": "6070",
}


@pytest.mark.parametrize("case_id", ["TB-01", "TB-02"])
def test_a_published_month_is_booked_line_by_line(case_id: str) -> None:
    # OpenStax Principles of Accounting Vol. 1 sec. 3.5-3.6 and 4.4-4.5 (text-seen). Its dividends
    # are paid to nobody here: they stand as a move to another fund, which gets them.
    fund, other = fund_with(), make_fund(code="OUT", name="other fund")
    rows = list(published()["TB-01"].inputs["entries_date_dr_cr_amount"])
    if case_id == "TB-02":
        rows += published()["TB-02"].inputs["adjusting_entries"]
    for number, (on, debit, credit, dollars) in enumerate(rows):
        cents = dollars * 100
        lines = [line(fund, debit=NAMES[debit], credit=NAMES[credit], cents=cents)]
        if debit == "Dividends":
            lines.append(line(other, debit=CASH, credit="3110", cents=cents))
        post(*lines, key=f"{case_id}:{number}", on=dt.date.fromisoformat(on))
    expected = published()[case_id].expected["balances_dr_positive"]
    assert held(make_program()).accounts("GEN") == {
        NAMES[name]: dollars * 100
        for name, dollars in sorted(expected.items(), key=lambda one: NAMES[one[0]])
    }
