"""Files as banks write them: encodings, separators, headings below other rows, broken files.

The bank and its lines are invented.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from program.bank.layout import Hold, Layout, guess
from program.bank.statement_file import (
    MOST_BYTES,
    MOST_ROWS,
    FileLine,
    Reading,
    ends,
    in_order,
    lacking,
    read_lines,
    read_table,
)
from program.bank.values import DayOrder

DATA = Path(__file__).resolve().parents[2] / "data"
PLAIN = "date,text,amount\n2026-10-02,Rent,-700.00\n2026-10-05,Gift,25.00\n"
BASIC = Layout(columns={"date": Hold.DAY, "text": Hold.WORDS, "amount": Hold.AMOUNT})


def read(content: bytes, layout: Layout | None = None) -> Reading:
    table = read_table(content)
    return read_lines(table, layout or guess(table))


def amounts(content: bytes) -> list[int]:
    reading = read(content)
    assert reading.faults == ()
    return [line.cents for line in reading.lines]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252"])
@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_every_encoding_and_separator_gives_the_same_lines(encoding: str, mark: str) -> None:
    text = PLAIN.replace("Rent", "Café").replace(",", mark)
    reading = read(text.encode(encoding))
    assert [(line.cents, line.words) for line in reading.lines] == [
        (-70000, "Café"),
        (2500, "Gift"),
    ]


def test_a_semicolon_file_may_hold_commas_in_amounts() -> None:
    assert amounts(b"date;text;amount\r\n2026-10-02;Rent, October;-1,700.00\r\n") == [-170000]


@pytest.mark.parametrize(
    ("name", "sums"),
    [
        ("bank_in_out.csv", [3150_00, -700_00, -97_70, 60_00]),
        ("bank_side.csv", [3150_00, -700_00, -97_70, 60_00]),
        ("bank_leading.csv", [3150_00, -700_00, -97_70, 60_00]),
    ],
)
def test_the_same_month_in_three_shapes_reads_alike(name: str, sums: list[int]) -> None:
    reading = read((DATA / name).read_bytes())
    assert reading.faults == ()
    assert [line.cents for line in in_order(reading.lines)] == sums


def test_rows_are_numbered_as_a_spreadsheet_shows_them() -> None:
    assert [line.row for line in read(b"\n\n" + PLAIN.encode()).lines] == [4, 5]


def test_money_in_may_be_negative_in_a_file() -> None:
    layout = Layout(columns=BASIC.columns, flipped=True)
    assert [line.cents for line in read(PLAIN.encode(), layout).lines] == [70000, -2500]


def test_rows_that_move_no_money_are_left_out_and_counted() -> None:
    reading = read((PLAIN + "2026-10-06,Notice,-0.00\n,Total,\n").encode(), BASIC)
    assert (len(reading.lines), reading.left_out, reading.faults) == (2, 2, ())


def test_a_fault_names_its_row_and_column_and_the_others_are_read() -> None:
    reading = read((PLAIN + "2026-13-06,Odd,1.00\n2026-10-07,Odd,1.234\n").encode(), BASIC)
    assert [str(fault.sentence) for fault in reading.faults] == [
        "Row 4, date: “2026-13-06” is not a day written year, month, day.",
        "Row 5, amount: “1.234” is not an amount in dollars and cents.",
    ]
    assert len(reading.lines) == 2


def test_a_row_that_breaks_off_says_so() -> None:
    reading = read((PLAIN + "2026-10-0").encode(), BASIC)
    assert [str(fault.sentence) for fault in reading.faults] == [
        "Row 4, date: “2026-10-0” is not a day written year, month, day."
    ]
    reading = read((PLAIN + "2026-10-07,Gif").encode(), BASIC)
    assert [str(fault.sentence) for fault in reading.faults] == [
        "Row 4, amount: The amount is missing; the file may have been cut off."
    ]


def test_money_in_and_out_in_one_row_is_a_fault() -> None:
    layout = Layout(columns={"day": Hold.DAY, "in": Hold.IN, "out": Hold.OUT})
    reading = read(b"day,in,out\n2026-10-02,1.00,2.00\n2026-10-02,0.00,-2.00\n", layout)
    assert [str(fault.sentence) for fault in reading.faults] == [
        "Row 2, out: Money in and money out stand in one row."
    ]
    assert [line.cents for line in reading.lines] == [-200]


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty."),
        (b"\xff\xfed\x00", "The file is text in UTF-16, not CSV. Save or ask for it as CSV."),
        (b"%PDF-1.7", "The file is a PDF, not CSV. Save or ask for it as CSV."),
        (b"a,\x81b\n1,2\n", "The file is written in neither UTF-8 nor Windows-1252."),
        (b"2026-10-02,-7.00\n2026-10-03,1.00\n", "No row of headings is in the first 30 rows,"),
        (b'date,text,amount\n2026-10-02,"Rent,-7.00\n', "Row 2 can’t be read: a quotation mark"),
        (b"date," + b"x," * 50 + b"\n", "Row 1 has 52 columns; 40 are the most."),
    ],
)
def test_a_file_of_another_kind_is_refused_with_a_sentence(content: bytes, sentence: str) -> None:
    with pytest.raises(ValueError, match=r".") as refused:
        read_table(content)
    assert str(refused.value).startswith(sentence)


def test_a_file_has_its_bounds() -> None:
    with pytest.raises(ValueError, match="Ask the bank for fewer days") as refused:
        read_table(b"x" * (20 * 1024 * 1024))
    assert str(refused.value).startswith("The file has 20.0 MB; 2 MB is the most.")
    assert MOST_BYTES == 2 * 1024 * 1024
    long = "date,text,amount\n" + "2026-10-02,A,1.00\n" * (MOST_ROWS + 40)
    with pytest.raises(ValueError, match=r"^The file has more than 5,000 lines"):
        read_table(long.encode())


def test_headings_that_stand_twice_or_are_empty_are_told_apart() -> None:
    table = read_table(b"date,,amount,amount\n2026-10-02,Rent,-7.00,1\n")
    assert table.headings == ("date", "Column 2", "amount", "amount (2)")


def test_a_layout_of_other_columns_lacks_its_own() -> None:
    table = read_table(b"day,words,sum\n2026-10-02,Rent,-7.00\n")
    assert lacking(table, BASIC) == ["date", "text", "amount"]


def line(day: int, cents: int, balance: int | None) -> FileLine:
    return FileLine(row=day, on=date(2026, 10, day), cents=cents, balance=balance)


def test_balances_are_taken_where_they_chain_in_either_direction() -> None:
    oldest_first = [line(1, 500, 1500), line(2, -200, 1300)]
    assert ends(oldest_first) == (1000, 1300)
    assert ends(oldest_first[::-1]) == (1000, 1300)
    assert ends([line(1, 500, 1500), line(2, -200, 1200)]) is None
    assert ends([line(1, 500, None)]) is None
    assert ends([]) is None


def test_a_file_written_newest_first_is_turned_and_keeps_the_order_within_a_day() -> None:
    rows = [line(3, 1, None), line(2, 2, None), line(2, 3, None), line(1, 4, None)]
    assert [row.cents for row in in_order(rows)] == [4, 3, 2, 1]


def test_days_are_read_in_the_order_that_fits_every_row() -> None:
    text = b"date,text,amount\n10/02/2026,A,1.00\n10/13/26,B,2.00\n"
    table = read_table(text)
    assert guess(table).days == DayOrder.MONTH_FIRST
    assert [row.on for row in read(text).lines] == [date(2026, 10, 2), date(2026, 10, 13)]


def test_a_row_without_its_day_says_so() -> None:
    reading = read((PLAIN + ",Gift,1.00\n").encode(), BASIC)
    assert [str(fault.sentence) for fault in reading.faults] == [
        "Row 4, date: The day is missing; the file may have been cut off."
    ]


def test_a_word_that_says_neither_in_nor_out_is_a_fault() -> None:
    layout = Layout(columns={"day": Hold.DAY, "kind": Hold.SIDE, "sum": Hold.AMOUNT})
    text = b"day,kind,sum\n2026-10-02,debit,1.00\n2026-10-03,fee,2.00\n"
    reading = read(text, layout)
    assert [line.cents for line in reading.lines] == [-100]
    assert [str(fault.sentence) for fault in reading.faults] == [
        "Row 3, kind: “fee” says neither in nor out, such as credit or debit."
    ]
