"""What a code says by its structure and by the table.

Sources: SAE J2012 = ISO 15031-6 as the manual of a code reader (Actron CP9150, page 18) and Kia's
2008 repair manual (“DTC Format”) give it, both text-seen; the third character as several makers'
manuals do, text-seen; the two bytes after SAE J1979, from memory. The severities are ours.
"""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING

import pytest

from vehicles.codes.trouble_codes import (
    GROUPS,
    Origin,
    Severity,
    decode,
    from_wire,
    load,
    to_wire,
)
from vehicles.inspection.catalogue import FOLDER

if TYPE_CHECKING:
    from pathlib import Path

TABLE = load()


def rows() -> list[dict[str, str]]:
    with (FOLDER / "trouble_codes.csv").open(encoding="utf-8", newline="") as sheet:
        return list(csv.DictReader(sheet))


def damaged(tmp_path: Path, old: str, new: str) -> Path:
    text = (FOLDER / "trouble_codes.csv").read_text(encoding="utf-8")
    assert text.count(old) == 1
    (tmp_path / "trouble_codes.csv").write_text(text.replace(old, new), encoding="utf-8")
    return tmp_path


def test_the_whole_table_is_found_and_each_row_is_well_formed() -> None:
    assert len(rows()) == len(TABLE) == 133
    for row in rows():
        one = decode(row["code"])
        assert (one.code, one.meaning, one.source) == (row["code"], row["meaning"], row["source"])
        assert (one.severity, one.first_thought) == (row["severity"], row["first_thought"])
        assert one.seen is (row["mark"] == "text-seen")
        assert len(row["meaning"]) <= 200
        assert len(row["source"]) <= 120


def test_no_meaning_of_the_table_stands_on_a_maker_s_own_code() -> None:
    assert {decode(code).origin for code in TABLE} == {Origin.STANDARD}


@pytest.mark.parametrize(
    ("code", "origin"),
    [
        ("P0101", "standard"),
        ("P1101", "maker"),
        ("P2101", "standard"),
        ("P3000", "maker"),
        ("P33FF", "maker"),
        ("P3400", "standard"),
        ("P3999", "standard"),
        *[
            (f"{letter}{digit}", origin)
            for letter in ("B", "C", "U")
            for digit, origin in (
                ("0123", "standard"),
                ("1123", "maker"),
                ("2123", "maker"),
                ("3123", "reserved"),
            )
        ],
    ],
)
def test_the_second_character_says_who_gave_the_meaning(code: str, origin: str) -> None:
    assert decode(code).origin == origin


@pytest.mark.parametrize(
    ("digit", "group"),
    [
        ("0", "Fuel and air metering, auxiliary emission controls"),
        ("1", "Fuel and air metering"),
        ("2", "Fuel and air metering, injector circuits"),
        ("3", "Ignition or misfire"),
        ("4", "Auxiliary emission controls"),
        ("5", "Vehicle speed, idle control, auxiliary inputs"),
        ("6", "Computer and output circuits"),
        ("7", "Transmission"),
        ("8", "Transmission"),
    ],
)
def test_the_third_character_says_the_group_of_a_powertrain_code(digit: str, group: str) -> None:
    one = decode(f"P0{digit}99")
    assert (str(one.group), one.group_seen) == (group, True)


def test_what_is_remembered_of_groups_is_marked_so() -> None:
    assert [decode(f"P0{digit}00").group_seen for digit in "9ABC"] == [False] * 4


def test_the_third_character_has_one_meaning_only_for_powertrain_codes() -> None:
    others = {str(decode(f"{letter}0{digit}01").group) for letter in "CBU" for digit in GROUPS}
    assert others == {""}
    assert {str(decode(f"P0{digit}01").group) for digit in "DEF"} == {""}


def test_a_maker_s_own_code_is_kept_and_never_guessed() -> None:
    one = decode("p1345")
    assert (one.code, one.meaning, one.severity, one.source) == ("P1345", "", None, "")
    assert list(map(str, one.notes)) == ["Maker’s own code: look it up in the maker’s book."]


def test_a_standard_code_outside_the_table_says_so() -> None:
    notes = decode("P0999").notes
    assert list(map(str, notes)) == [
        "This table does not have the code: look it up in the maker’s book."
    ]


def test_the_transmission_pointer_says_where_to_read_on() -> None:
    assert list(map(str, decode("P0700").notes)) == [
        "P0700 only points: read the transmission module for the real code."
    ]


def test_a_failure_type_is_kept_and_not_translated() -> None:
    one = decode("c0035-0f")
    assert (one.code, one.failure_type, one.full) == ("C0035", "0F", "C0035-0F")
    assert list(map(str, one.notes)) == [
        "Other makers may use this number otherwise: see the maker’s book.",
        "What failure type 0F means stands in the maker’s book.",
    ]


@pytest.mark.parametrize("text", ["", "P030", "X0301", "P4301", "P03G1", "P0301-0", "P0301 P0302"])
def test_what_has_not_the_form_of_a_code_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"is not a trouble code\. Write it as P0301 or C0035-0F"):
        decode(text)


def test_each_two_byte_word_is_one_code_and_comes_back() -> None:
    words = [number.to_bytes(2, "big") for number in range(65_536)]
    codes = [from_wire(word) for word in words]
    assert len(set(codes)) == 65_536
    assert [to_wire(code) for code in codes] == words
    assert all(decode(code).full == code for code in codes)


# From memory, after SAE J1979.
@pytest.mark.parametrize(
    ("sent", "code"),
    [("0133", "P0133"), ("4123", "C0123"), ("8123", "B0123"), ("c158", "U0158"), ("3fff", "P3FFF")],
)
def test_two_bytes_are_letter_digit_and_three_hexadecimal_digits(sent: str, code: str) -> None:
    assert from_wire(bytes.fromhex(sent)) == code
    assert to_wire(code).hex() == sent


def test_other_than_two_bytes_are_no_code() -> None:
    with pytest.raises(ValueError, match="A code is sent in two bytes, not in 3"):
        from_wire(b"\1\2\3")


def test_severity_rises_by_one_step_and_ends_at_the_worst() -> None:
    assert [one.raised for one in Severity] == [
        Severity.STOP,
        Severity.STOP,
        Severity.FIX,
        Severity.SOON,
    ]


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("\nP0016,", "\np0016,", "“p0016” needs a code, a meaning and a source"),
        ("\nP0016,", "\nP0011,", "trouble_codes.csv, row 3: “P0011” stands there twice"),
        (
            "out of step,fix-before-return",
            "out of step,urgent",
            "trouble_codes.csv, row 3: 'urgent' is not a valid Severity",
        ),
    ],
)
def test_a_damaged_table_says_where(tmp_path: Path, old: str, new: str, sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        load(damaged(tmp_path, old, new))
