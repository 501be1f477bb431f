from __future__ import annotations

from datetime import date

from program.planning.problem import Fund, Item, PartNeed, Week, must_ids, needed


def test_a_week_without_days_is_open_monday_to_friday() -> None:
    row = Week(starts_on=date(2026, 11, 30), capacity={})
    assert (row.days[0], row.days[-1], len(row.days)) == (date(2026, 11, 30), date(2026, 12, 4), 5)
    closed = Week(starts_on=date(2026, 11, 23), capacity={}, open_on=(date(2026, 11, 24),))
    assert closed.days == (date(2026, 11, 24),)


def test_the_floor_and_the_reserve_are_kept_back() -> None:
    """15 percent for supplements: common practice, no source."""
    fund = Fund(id="g", label="g", available_cents=3_300_00, floor_cents=1_000_00)
    assert fund.spendable_cents(15) == 2_000_00
    poor = Fund(id="g", label="g", available_cents=900_00, floor_cents=1_000_00)
    assert poor.spendable_cents(15) == 0


def test_a_part_without_a_kind_is_a_kind_of_its_own() -> None:
    assert PartNeed(id="n1").gift_kind == "n1"
    assert PartNeed(id="n1", kind="radiator").gift_kind == "radiator"


def test_an_items_minutes_and_named_resources_are_added_up() -> None:
    item = Item(id="a", case_id="c", tier=4, minutes=30, uses={"lift": 2, "minutes": 5})
    assert item.takes == {"lift": 2, "minutes": 35}
    assert must_ids([item]) == frozenset()


def test_what_an_item_needs_before_is_followed_to_its_end_and_no_further() -> None:
    rows = [
        Item(id="a", case_id="c", tier=4),
        Item(id="b", case_id="c", tier=4, prerequisites=("a",)),
        Item(id="d", case_id="c", tier=4, prerequisites=("b", "elsewhere")),
        Item(id="e", case_id="c", tier=4, prerequisites=("d",)),
    ]
    assert needed(rows, ["d"]) == {"a", "b", "d"}
    assert needed(rows, []) == frozenset()
