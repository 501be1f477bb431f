from __future__ import annotations

from collections import Counter
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from program.planning.payments import pay, pay_order
from program.planning.problem import Fund

ITEMS = "abcd"
funds_of_any_kind = st.lists(
    st.tuples(st.integers(0, 40), st.frozensets(st.sampled_from(ITEMS)) | st.none()),
    min_size=1,
    max_size=4,
)
bills_of_any_kind = st.dictionaries(st.sampled_from(ITEMS), st.integers(1, 30))


def fund(name: str, cents: int, pays: str | None = None, lapses: date | None = None) -> Fund:
    return Fund(
        id=name,
        label=name,
        available_cents=cents,
        restricted=pays is not None,
        pays=None if pays is None else frozenset(pays),
        lapses_on=lapses,
    )


def by_fund(bills: dict[str, int], funds: list[Fund]) -> dict[str, int]:
    paid: Counter[str] = Counter()
    for payment in pay(bills, funds, reserve_percent=0) or ():
        paid[payment.fund_id] += payment.cents
    return dict(paid)


def test_money_that_lapses_first_is_used_first() -> None:
    rows = [
        fund("general", 100),
        fund("later", 100, "a", date(2027, 6, 30)),
        fund("sooner", 60, "a", date(2027, 3, 31)),
    ]
    assert by_fund({"a": 90}, rows) == {"sooner": 60, "later": 30}


def test_the_most_restricted_money_is_used_before_the_less_restricted() -> None:
    rows = [fund("general", 100), fund("wide", 100, "abc"), fund("narrow", 50, "a")]
    assert by_fund({"a": 80}, rows) == {"narrow": 50, "wide": 30}


def test_a_fund_gives_way_where_another_can_not_pay() -> None:
    rows = [fund("narrow", 50, "ab"), fund("general", 50)]
    assert by_fund({"a": 50, "c": 50}, rows) == {"narrow": 50, "general": 50}


@given(bills_of_any_kind, funds_of_any_kind)
def test_payments_are_exact_allowed_and_never_beyond_a_fund(
    bills: dict[str, int], rows: list[tuple[int, frozenset[str] | None]]
) -> None:
    funds = [Fund(id=f"f{n}", label="", available_cents=c, pays=p) for n, (c, p) in enumerate(rows)]
    payments = pay(bills, funds, reserve_percent=15)
    if payments is None:
        return
    items, spent = Counter[str](), Counter[str]()
    for payment in payments:
        items[payment.item_id] += payment.cents
        spent[payment.fund_id] += payment.cents
    assert dict(items) == bills
    assert all(spent[row.id] <= row.spendable_cents(15) for row in funds)
    allowed = {row.id: row for row in funds}
    assert all(allowed[p.fund_id].may_pay(p.item_id) for p in payments)


@given(bills_of_any_kind, funds_of_any_kind)
def test_bills_are_refused_only_when_some_of_them_pass_all_money_that_may_pay_them(
    bills: dict[str, int], rows: list[tuple[int, frozenset[str] | None]]
) -> None:
    """Source: Hall 1935, the marriage theorem, in its form for flows (from memory)."""
    funds = [Fund(id=f"f{n}", label="", available_cents=c, pays=p) for n, (c, p) in enumerate(rows)]
    payable = True
    for mask in range(1, 2 ** len(ITEMS)):
        some = [item for n, item in enumerate(ITEMS) if mask >> n & 1]
        there = sum(
            row.spendable_cents(0) for row in funds if any(row.may_pay(item) for item in some)
        )
        payable = payable and sum(bills.get(item, 0) for item in some) <= there
    assert (pay(bills, funds, reserve_percent=0) is not None) == payable


def test_unrestricted_money_pays_last() -> None:
    rows = [fund("general", 1), fund("gift", 1, "a")]
    assert [row.id for row in sorted(rows, key=lambda row: pay_order(row, 4))] == [
        "gift",
        "general",
    ]
