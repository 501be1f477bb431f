"""Codes out of a text that somebody typed or pasted.

How a car stores codes: SAE J1979 modes 03, 07 and 0A, from memory.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.codes.pasting import MOST_UNREAD, Storage, parse
from vehicles.codes.trouble_codes import from_wire


def codes_of(text: str) -> list[tuple[str, str]]:
    return [(one.code, one.storage.value) for one in parse(text).entered]


def sentences(text: str) -> list[str]:
    return [str(one.sentence) for one in parse(text).unread]


@pytest.mark.parametrize(
    "text",
    [
        "P0301 P0420 U0100",
        "p0301,p0420,u0100",
        "P0301\nP0420\r\nU0100",
        "1. P0301; 2. P0420; 3. U0100",
        "  P0301 / P0420 | [U0100]  ",
        "• P0301: cylinder 1\n• P0420: catalyst\n• U0100: no messages",
    ],
)
def test_a_list_is_read_however_it_is_set_apart(text: str) -> None:
    assert codes_of(text) == [("P0301", ""), ("P0420", ""), ("U0100", "")]
    assert sentences(text) == []


@pytest.mark.parametrize("text", ["C0035-0F", "c0035:0f", "C00350F", "C0035–0F", "(C0035-0f)"])
def test_a_failure_type_is_read_behind_its_code(text: str) -> None:
    assert codes_of(text) == [("C0035-0F", "")]


def test_how_a_code_is_stored_is_read_beside_it_or_over_it() -> None:
    text = (
        "P0301 pending\nPermanent codes (2):\nP0420\nP0430 pending\n\nP0171\nStored: P0300, P0302"
    )
    assert codes_of(text) == [
        ("P0301", "pending"),
        ("P0420", "permanent"),
        ("P0430", "pending"),
        ("P0171", ""),
        ("P0300", "confirmed"),
        ("P0302", "confirmed"),
    ]


def test_the_same_code_is_folded_and_counted_but_not_across_storages() -> None:
    found = parse("P0301\np0301 rough at idle\nP0301 pending\nP0301-00").entered
    assert [(one.code, one.storage, one.times, one.line) for one in found] == [
        ("P0301", Storage.UNKNOWN, 2, 1),
        ("P0301", Storage.PENDING, 1, 3),
        ("P0301-00", Storage.UNKNOWN, 1, 4),
    ]
    assert found[0].remark == "rough at idle"


@pytest.mark.parametrize(
    ("typed", "meant"), [("PO3O1", "P0301"), ("P03Ol", "P0301"), ("CO035-OF", "C0035-0F")]
)
def test_a_letter_typed_for_a_digit_is_suggested_and_not_changed(typed: str, meant: str) -> None:
    found = parse(typed)
    assert found.entered == ()
    assert [(one.typed, one.suggestion) for one in found.unread] == [(typed, meant)]
    assert sentences(typed) == [f"Line 1: “{typed}” is not a code. Is it {meant}?"]


def test_what_is_no_code_is_named_with_its_line() -> None:
    assert sentences("P0301\nMIL on\nP0420, P99\n\nP0000") == [
        "Line 2: “MIL on” holds no code.",
        "Line 3: “P99” is not a code. Write it as P0301 or C0035-0F.",
        "Line 5: P0000 stands for no code at all.",
    ]


def test_plain_words_are_never_suggested_as_a_code() -> None:
    assert [one.suggestion for one in parse("BLEED\nPLACE\nPILED\nCOOLED").unread] == [""] * 4


def test_a_text_that_is_too_long_is_refused() -> None:
    with pytest.raises(ValueError, match="Paste at most 20,000 characters"):
        parse("P0301 " * 4_000)


def test_a_wrong_file_is_not_listed_line_by_line() -> None:
    assert len(parse("no\n" * 500).unread) == MOST_UNREAD


@given(st.lists(st.integers(1, 65_535).map(lambda n: from_wire(n.to_bytes(2, "big")))))
def test_each_code_is_read_once_in_the_order_typed(codes: list[str]) -> None:
    found = parse(", ".join(codes).lower())
    assert [one.code for one in found.entered] == list(dict.fromkeys(codes))
    assert sum(one.times for one in found.entered) == len(codes)
    assert found.unread == ()


@given(st.text(max_size=300))
def test_any_text_is_read_without_a_code_that_nobody_typed(text: str) -> None:
    plain = text.upper().replace("–", "-").replace("‑", "-")
    assert all(one.code[:5] in plain for one in parse(text).entered)
