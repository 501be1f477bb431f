"""What usually lies behind a difference."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from program.bank.hints import hints, swapped


def test_the_case_of_a_side_taken_wrongly_is_hinted_by_half() -> None:
    # Source: OpenStax Principles of Accounting Vol. 1 sec. 3.6, case TB-11 (text-seen):
    # debits 33,900, credits 34,100; dividends of 100 stand on the credit side.
    differs = 34_100_00 - 33_900_00
    assert [str(hint) for hint in hints(differs, [100_00, 5_00])] == [
        (
            "Half of it is $100.00: an amount of that much may stand on the wrong side."
            " One is in the list."
        )
    ]


def test_an_amount_that_was_left_out_is_hinted() -> None:
    assert str(hints(15_01, [-15_01])[0]) == "A line has exactly this amount, $15.01: see it first."


def test_nothing_is_hinted_where_nothing_differs() -> None:
    assert hints(0, [1, 2]) == []


@given(st.integers(-999_999, 999_999).filter(bool))
def test_swapped_digits_differ_by_a_multiple_of_nine(cents: int) -> None:
    # Two digits changing places differ by a multiple of nine: common practice, no source.
    for other in swapped(cents):
        assert (cents - other) % 9 == 0
        assert other != cents
        assert (other > 0) == (cents > 0)


def test_a_difference_of_nines_is_hinted() -> None:
    assert str(hints(48_40 - 44_80, [])[-1]) == (
        "It can be divided by nine: two digits may have changed places."
    )
