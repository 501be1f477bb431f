"""What each line is proposed to be."""

from __future__ import annotations

import random
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from program.bank.pairing import AFTER, BEFORE, Movement, Sure, propose

BASE = date(2026, 10, 1)


def at(pk: int, day: int, cents: int, words: str = "") -> Movement:
    return Movement(id=pk, on=BASE + timedelta(days=day), cents=cents, words=words)


MOVES = st.lists(
    st.tuples(st.integers(0, 40), st.integers(-12, 12).filter(bool), st.sampled_from(["", "1042"])),
    max_size=12,
).map(lambda rows: [at(n, day, cents * 1000, word) for n, (day, cents, word) in enumerate(rows, 1)])


@given(MOVES, MOVES)
def test_no_entry_is_proposed_twice_and_every_sum_is_exact(
    lines: list[Movement], entries: list[Movement]
) -> None:
    found = propose(lines, entries)
    used = [pk for proposed in found.values() for pk in proposed.entries]
    assert len(used) == len(set(used))
    cents = {entry.id: entry.cents for entry in entries}
    wanted = {line.id: line.cents for line in lines}
    for pk, proposed in found.items():
        exact = sum(cents[entry] for entry in proposed.entries) == wanted[pk]
        assert exact == (proposed.sure != Sure.SLIP)


@given(MOVES, MOVES, st.randoms(use_true_random=False))
def test_the_order_in_which_they_are_given_changes_nothing(
    lines: list[Movement], entries: list[Movement], chance: random.Random
) -> None:
    first = propose(lines, entries)
    lines, entries = lines.copy(), entries.copy()
    chance.shuffle(lines)
    chance.shuffle(entries)
    assert propose(lines, entries) == first


@given(MOVES, MOVES)
def test_a_single_entry_lies_within_the_days_of_its_line(
    lines: list[Movement], entries: list[Movement]
) -> None:
    days = {row.id: row.on for row in entries}
    wanted = {row.id: row.on for row in lines}
    for pk, proposed in propose(lines, entries).items():
        for entry in proposed.entries:
            assert -AFTER <= (wanted[pk] - days[entry]).days <= BEFORE or proposed.sure == Sure.SLIP


def test_the_best_assignment_is_taken_not_the_first() -> None:
    # Taken greedily, line 1 would get entry 2 of its own day and line 2 none within its days.
    lines = [at(1, 10, 500), at(2, 17, 500)]
    entries = [at(1, 17, 500), at(2, 10, 500)]
    assert {pk: found.entries for pk, found in propose(lines, entries).items()} == {
        1: (2,),
        2: (1,),
    }


def test_monthly_bills_of_one_amount_are_sure_where_each_is_by_far_the_nearest() -> None:
    lines = [at(1, 4, -70_000), at(2, 34, -70_000)]
    entries = [at(7, 3, -70_000), at(8, 33, -70_000)]
    found = propose(lines, entries)
    assert [(found[pk].entries, found[pk].sure) for pk in (1, 2)] == [
        ((7,), Sure.SURE),
        ((8,), Sure.SURE),
    ]
    assert str(found[1].reason) == "The nearest entry of this amount, 1 day away."


def test_two_that_fit_alike_are_left_to_a_person() -> None:
    found = propose([at(1, 5, 2500)], [at(1, 4, 2500), at(2, 5, 2500)])
    assert (found[1].entries, found[1].sure) == ((2,), Sure.SEVERAL)
    assert str(found[1].reason) == (
        "1 more would fit this amount; this is the nearest, on the same day."
    )


def test_a_check_number_in_both_decides_between_equals() -> None:
    entries = [at(1, 4, -2500, "Towing"), at(2, 0, -2500, "Rags, check 1042")]
    found = propose([at(1, 5, -2500, "CHECK 1042")], entries)
    assert (found[1].entries, found[1].sure) == ((2,), Sure.SURE)
    assert str(found[1].reason) == "The same amount, and “1042” in both, 5 days away."


def test_one_alone_but_long_ago_is_only_likely() -> None:
    found = propose([at(1, 40, -2500)], [at(1, 0, -2500)])
    assert (found[1].sure, str(found[1].reason)) == (
        Sure.LIKELY,
        "The only entry of this amount, 40 days away.",
    )


def test_a_deposit_of_several_is_put_together_only_when_one_choice_adds_up() -> None:
    line = at(1, 19, 40_000)
    gifts = [at(1, 17, 6000), at(2, 18, 34_000), at(3, 15, 7730)]
    found = propose([line], gifts)
    assert (found[1].entries, found[1].sure) == ((1, 2), Sure.LIKELY)
    assert str(found[1].reason) == "2 entries add up to it exactly."
    assert propose([line], [*gifts, at(4, 18, 34_000)]) == {}


def test_two_deposits_never_share_an_entry() -> None:
    gifts = [at(1, 1, 100), at(2, 1, 200), at(3, 1, 400)]
    assert propose([at(1, 2, 300), at(2, 2, 600)], gifts) == {}


def test_an_entry_that_moves_nothing_is_never_proposed() -> None:
    assert propose([at(1, 0, 100)], [at(1, 0, 0)]) == {}


def test_swapped_digits_are_only_told() -> None:
    found = propose([at(1, 22, -4840)], [at(1, 20, -4480)])
    assert found[1].sure == Sure.SLIP
    assert str(found[1].reason) == ("Two digits of this entry have changed places.")


def test_hundreds_of_lines_and_thousands_of_entries_are_paired() -> None:
    chance = random.Random(6)
    entries = [
        at(n, chance.randrange(180), chance.randrange(-90_000, 90_000)) for n in range(1, 3001)
    ]
    lines = [at(n, (row.on - BASE).days + 1, row.cents) for n, row in enumerate(entries[:400])]
    found = propose(lines, entries)
    singles = [proposed for proposed in found.values() if len(proposed.entries) == 1]
    assert len(singles) == sum(1 for row in entries[:400] if row.cents)


def test_a_search_without_end_leaves_the_rest_to_a_person() -> None:
    # 24 gifts near each line: each line may cost the most steps of one search.
    gifts = [at(pk, 4, 100 + 2 * pk) for pk in range(1, 23)]
    pair = [at(30, 5, 7_000), at(31, 5, 90_001)]
    odd = [at(100 + n, 5, 10_001 + 2 * n) for n in range(20)]
    last = at(999, 5, 97_001)
    assert propose([last], [*gifts, *pair])[999].entries == (30, 31)
    assert 999 not in propose([*odd, last], [*gifts, *pair])
