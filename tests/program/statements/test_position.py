"""What the program owns and owes, and how its net assets are held."""

from __future__ import annotations

from datetime import date

from hypothesis import given

from program.ledger.ledger import Balances
from program.ledger.restrictions import Fund, parse
from program.statements.position import for_a_time, position, position_sheet
from program.statements.statements import activities
from tests.program.ledger.making import CHART, FUNDS, pairs
from tests.program.published import published
from tests.program.statements.booked import booked, books_drawn

LATER = parse({"from_on": "2027-01-01"})


def test_restricted_net_assets_are_rolled_up_by_purpose_and_by_time() -> None:
    # RF-02: example footnote in the style of ASU 2016-14 (text-seen). Its endowment, kept for
    # ever under a spending policy, stands with what is bound to a time.
    case = published()["RF-02"]
    purposes = case.inputs["purpose"]
    bound = {"TIME": case.inputs["time"], "KEPT": case.inputs["spending_policy_perpetual"]}
    funds = {
        **{name: Fund(code=name, name=name, restricted=True) for name in purposes},
        **{name: Fund(code=name, name=name, restricted=True, rule=LATER) for name in bound},
    }
    cells = {(name, "1010"): dollars * 100 for name, dollars in (purposes | bound).items()}
    state = position(Balances(cells=cells), CHART, funds)
    assert sum(state.purpose.values()) == case.expected["purpose_subtotal"] * 100
    assert state.with_ == case.expected["net_assets_with_donor_restrictions"] * 100
    assert state.without == 0


def test_a_building_is_bound_no_more_once_it_is_in_service() -> None:
    # RF-05: textbook exercise “Good Health” items 4 and 6; ASU 2016-14 (answer derived).
    case = published()["RF-05"]
    own = pairs([("1010", "3010", 140000), ("1410", "1010", 140000)])
    gift = [("1010", "3020", 875000), ("1410", "1010", 875000), ("3210", "3220", 875000)]
    state = position(booked([*own, *pairs(gift, "PRU")]).now, CHART, FUNDS)
    assert (state.without, state.with_) == (case.expected["building_cost"] * 100, 0)


def test_the_boards_reserve_is_part_of_what_is_unrestricted_and_never_more() -> None:
    held = Balances(cells={("GEN", "1010"): 1_000_00, ("PRU", "1010"): 400_00})
    some = position(held, CHART, FUNDS, reserve=300_00)
    assert (some.designated, some.undesignated, some.with_) == (300_00, 700_00, 400_00)
    assert position(held, CHART, FUNDS, reserve=5_000_00).designated == 1_000_00
    owing = Balances(cells={("GEN", "2010"): -50_00})
    assert position(owing, CHART, FUNDS, reserve=300_00).designated == 0


def test_a_fund_is_for_a_time_when_only_days_are_named() -> None:
    assert for_a_time(Fund(code="T", name="t", rule=LATER))
    assert not for_a_time(Fund(code="P", name="p"))
    both = parse({"from_on": "2027-01-01", "systems": "tires"})
    assert not for_a_time(Fund(code="B", name="b", rule=both))


def test_assets_are_liabilities_and_net_assets_on_the_sheet() -> None:
    books = booked(pairs([("1010", "4010", 900), ("6010", "2010", 250)]))
    state = position(books.now, CHART, FUNDS)
    sheet = position_sheet(books, state, position(books.before, CHART, FUNDS))
    sums = {row.name: row.figures[0].cents for row in sheet.rows if row.figures[0]}
    assert sums["Assets"] == sums["Liabilities and net assets"] == 900_00
    assert (sums["Liabilities"], sums["Net assets"]) == (250_00, 650_00)
    cash = next(row for row in sheet.rows if row.code == "1010").figures[0]
    assert cash is not None
    assert (cash.account, cash.since, cash.until) == ("1010", None, date(2026, 12, 31))


@given(books_drawn())
def test_both_classes_are_those_of_the_activities(held: list) -> None:  # type: ignore[type-arg]  # of transfers
    books = booked(held)
    state, closing = position(books.now, CHART, FUNDS), activities(books).closing
    assert (state.without, state.with_) == (closing.without, closing.with_)


def test_a_fund_for_a_time_stands_apart_from_those_for_a_purpose() -> None:
    funds = FUNDS | {"T": Fund(code="T", name="next year’s gift", restricted=True, rule=LATER)}
    books = booked(pairs([("1010", "4010", 400)], "T"), funds=funds)
    state = position(books.now, CHART, funds)
    sheet = position_sheet(books, state, position(books.before, CHART, funds))
    names = [row.name for row in sheet.rows]
    at = names.index("With donor restriction, for a time")
    assert names[at + 1 : at + 3] == ["T Next year’s gift", "For a time together"]
    assert [row.figures[0].cents for row in sheet.rows[at + 1 : at + 3] if row.figures[0]] == [
        400_00,
        400_00,
    ]
