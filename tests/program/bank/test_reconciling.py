"""Both sides at the end of a statement."""

from __future__ import annotations

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from program.bank.reconciling import Facts, Item, explain_start, reconcile, standing
from tests.program.bank.published import bank_case

LAST = date(2026, 10, 31)


def item(pk: int, cents: int, on: date = LAST) -> Item:
    return Item(id=pk, on=on, cents=cents, what="")


def items(amounts: list[int], start: int = 1) -> tuple[Item, ...]:
    return tuple(item(pk, cents) for pk, cents in enumerate(amounts, start))


def test_the_published_reconciliation_comes_out_alike_on_both_sides() -> None:
    # Source: OpenStax Principles of Accounting Vol. 1 sec. 8.6, case TB-13 (text-seen).
    given_, wanted = bank_case()
    seen = [given_["deposits_in_transit"], given_["bank_error_add"]]
    seen += [-check for check in given_["outstanding_checks"]]
    lacks = [given_["collection"], given_["interest"]]
    lacks += [-given_[name] for name in ("nsf", "recording_error", "service_charge")]
    found = reconcile(
        Facts(
            on=LAST,
            bank_cents=given_["bank_balance"],
            book_cents=given_["book_balance"],
            outstanding=items(seen),
            unbooked=items(lacks, 50),
        )
    )
    assert {"adjusted_bank": found.adjusted_bank, "adjusted_book": found.adjusted_book} == wanted
    assert (found.differs, found.ready) == (0, False)
    assert str(found.verdict) == "5 lines have no entry yet; with them both sides agree."


@given(
    st.integers(-(10**6), 10**6),
    st.lists(st.integers(-999, 999).filter(bool)),
    st.lists(st.integers(-999, 999).filter(bool)),
    st.integers(-99, 99),
)
def test_what_both_sides_know_of_each_other_always_ties(
    bank: int, outstanding: list[int], unbooked: list[int], unexplained: int
) -> None:
    book = bank + sum(outstanding) - sum(unbooked) + unexplained
    found = reconcile(
        Facts(
            on=LAST,
            bank_cents=bank,
            book_cents=book,
            outstanding=items(outstanding),
            unbooked=items(unbooked, 500),
        )
    )
    assert found.differs == unexplained
    assert found.left == unexplained - sum(unbooked)
    assert found.ready == (not unexplained and not unbooked)
    assert sum(row.cents for row in (*found.checks, *found.deposits)) == found.bank_adds


def test_what_is_outstanding_stands_oldest_first_and_is_stale_after_90_days() -> None:
    rows = (
        item(2, -500, date(2026, 10, 30)),
        item(1, -700, date(2026, 8, 1)),
        item(3, -1, LAST),
        item(4, -9, date(2026, 8, 2)),
    )
    found = reconcile(Facts(on=LAST, bank_cents=0, book_cents=-1210, outstanding=rows))
    assert [row.id for row in found.checks] == [1, 4, 2, 3]
    assert [row.id for row in found.stale] == [1]  # 91 days; the other has 90


def test_a_difference_is_said_with_what_to_look_for() -> None:
    found = reconcile(Facts(on=LAST, bank_cents=1000, book_cents=1200, outstanding=items([-100])))
    assert found.differs == 300
    assert str(found.verdict) == (
        "The books and the bank differ by $3.00, and nothing explains it yet."
    )
    assert [str(hint) for hint in found.hints] == [
        "Half of it is $1.50: an amount of that much may stand on the wrong side."
    ]


def test_an_entry_and_its_reversal_among_them_are_left_out_together() -> None:
    rows = items([-500, 500, -30])
    assert standing(rows, [(1, 2)]) == (rows[2],)
    assert standing(rows, [(1, 9)]) == rows


def test_the_start_is_explained_only_by_one_choice() -> None:
    early = items([-3640, -500, -700])
    assert explain_start(-1200, early) == early[1:]
    assert explain_start(-1, early) == ()
    assert explain_start(0, early) == ()


def test_both_sides_that_agree_say_at_what() -> None:
    found = reconcile(Facts(on=LAST, bank_cents=1000, book_cents=900, outstanding=items([-100])))
    assert (found.ready, str(found.verdict)) == (True, "The books and the bank agree at $9.00.")


def test_one_line_without_an_entry_is_said_in_the_singular() -> None:
    found = reconcile(Facts(on=LAST, bank_cents=985, book_cents=1000, unbooked=items([-15])))
    assert (found.ready, found.left) == (False, 15)
    assert str(found.verdict) == "One line has no entry yet; with it both sides agree."
