"""Gifts in kind by category."""

from __future__ import annotations

from datetime import date

from program.statements.disclosure import gifts, gifts_sheet
from program.statements.statements import activities
from tests.program.ledger.making import make_transfer, pairs
from tests.program.published import published
from tests.program.statements.booked import booked

DAY_BEFORE = date(2025, 12, 31)


def test_work_that_needs_no_skill_is_not_recognized() -> None:
    # RF-06: textbook exercise “Good Health” item 7, ASC 958-605-25-16 (answer derived): the audit
    # and the agency's work count, the ushers' hours are not booked.
    case = published()["RF-06"]
    audit, agency = (case.inputs[name] for name in ("audit", "advertising_agency"))
    held = pairs([("6110", "4130", audit), ("6110", "4130", agency)])
    work = gifts(booked(held))[2]
    assert work.received == work.used == case.expected["recognized"] * 100
    assert (work.opening, work.closing, work.other) == (0, 0, 0)


def test_work_below_its_usual_price_is_a_gift_of_the_difference() -> None:
    # RF-09: published example of a lawyer who bills below the usual rate (text-seen).
    case = published()["RF-09"]
    given = case.inputs["hours"] * (case.inputs["usual_rate"] - case.inputs["charged_rate"])
    paid = case.inputs["hours"] * case.inputs["charged_rate"]
    books = booked(pairs([("6110", "4130", given), ("7040", "1010", paid)]))
    work = gifts(books)[2]
    assert work.received == case.expected["in_kind_revenue"] * 100
    assert work.used == case.expected["in_kind_expense"] * 100
    assert activities(books).change.total == -paid * 100


def test_a_vehicle_sold_for_less_corrects_the_gift() -> None:
    # RF-08: CPA-firm worked example, given at 4,800 and sold for 4,300 (text-seen).
    case = published()["RF-08"]
    held = pairs([("1310", "4120", 4800), ("1010", "1310", 4300), ("4120", "1310", 500)])
    vehicles = gifts(booked(held))[1]
    assert vehicles.received == case.expected["contribution_revenue_net"] * 100
    assert (vehicles.used, vehicles.other, vehicles.closing) == (0, 4_300_00, 0)


def test_parts_are_followed_from_the_shelf_at_the_start_to_the_shelf_at_the_end() -> None:
    before = make_transfer(debit="1210", credit="3010", cents=200_00, on=booked([]).from_on)
    earlier = make_transfer(debit="1210", credit="4110", cents=100_00, on=DAY_BEFORE)
    held = [before, earlier, *pairs([("1210", "4110", 900), ("6020", "1210", 400)])]
    parts = gifts(booked(held))[0]
    assert (parts.opening, parts.received, parts.used) == (100_00, 900_00, 400_00)
    assert parts.closing == 800_00
    assert parts.other == -200_00  # what the opening balance brought in


def test_gifts_with_a_donors_restriction_are_told_apart() -> None:
    held = [*pairs([("1210", "4110", 900)]), *pairs([("1210", "4110", 150)], "PRU")]
    parts = gifts(booked(held))[0]
    assert (parts.received, parts.restricted) == (1_050_00, 150_00)


def test_each_category_says_how_it_is_valued_and_what_it_was_used_for() -> None:
    sheet = gifts_sheet(booked(pairs([("6110", "4130", 80)])))
    assert [note.partition(":")[0] for note in sheet.notes] == ["Parts", "Vehicles", "Skilled work"]
    assert sheet.notes[0].endswith("Nothing was used.")
    assert sheet.notes[2].endswith("Used for program $80.00.")
