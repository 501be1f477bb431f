from __future__ import annotations

import pytest

from vehicles.repairs.specifications import (
    SPEED_SYMBOLS,
    Tire,
    covers,
    key,
    overlaps,
    same_make,
    same_name,
    words,
)

Verdict = bool | None


def same_size(one: str, other: str) -> Verdict:
    first, second = Tire.parse(one), Tire.parse(other)
    assert first
    assert second
    return first.same_size(second)


def test_a_sidewall_is_read_however_it_is_typed() -> None:
    # How a sidewall is read: 49 CFR 575.6 consumer information, from memory.
    assert Tire.parse("p205/55 zr16 91v xl") == Tire.parse("P205/55R16 (91V)")


@pytest.mark.parametrize("text", ["", "205/55", "16 inch", "205/55R16 91", "31x10.5R15"])
def test_what_is_no_metric_size_is_not_read(text: str) -> None:
    assert Tire.parse(text) is None


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("205/55R16", "205/55 R16", True),
        ("205/55R16", "205/60R16", False),
        ("205/55R16", "205/55R17", False),
        ("P205/55R16", "205/55R16", None),
        ("LT235/75R15", "235/75R15", False),
    ],
)
def test_sizes_are_the_same_when_all_their_numbers_are(
    one: str, other: str, expected: Verdict
) -> None:
    assert same_size(one, other) is same_size(other, one) is expected


def test_speed_symbols_rise_except_for_h() -> None:
    # UN Regulation 30, from memory: H, for 210 km/h, stands after U and before V.
    assert list(SPEED_SYMBOLS) == list("LMNPQRSTUHVWY")
    assert sorted(SPEED_SYMBOLS.values()) == list(SPEED_SYMBOLS.values())


def test_case_spaces_and_dashes_do_not_count() -> None:
    assert key(" F-150 ") == key("f150") == "f150"


def test_a_make_goes_by_what_people_say_for_it() -> None:
    assert same_make("Chevy", "CHEVROLET")
    assert not same_make("Ford", "Mazda")


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [("CX-5", "cx5", True), ("Corolla", "Corolla Cross", None), ("Corolla", "Camry", False)],
)
def test_a_model_that_says_more_is_neither_the_same_nor_another(
    one: str, other: str, expected: Verdict
) -> None:
    assert same_name(one, other) is same_name(other, one) is expected


@pytest.mark.parametrize(
    ("part", "car", "expected"),
    [
        ("2.0L", "2.0", True),
        ("2.0 L", "2.0L 4-cylinder", True),
        ("2.0", "2.0 4-cylinder", True),
        ("2.0L", "2.5L", False),
        ("2.0L turbo", "2.0L", None),
        ("2AZ-FE", "2.4L", None),
        ("automatic", "Automatic", True),
        ("automatic", "manual", False),
        ("automatic", "6-speed manual", None),
    ],
)
def test_an_engine_or_transmission_covers_what_says_all_that_it_says(
    part: str, car: str, expected: Verdict
) -> None:
    assert covers(part, car) is expected


def test_front_serves_front_left_but_not_rear() -> None:
    assert overlaps("Front", "front left")
    assert not overlaps("front left", "front")
    assert not overlaps("rear", "front left")


def test_a_code_is_split_into_its_words() -> None:
    assert words("brake_pads") == {"brake", "pads"}
