"""The rules of 49 CFR 565 and ISO 3779, against worked numbers that others have printed."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.intake.vin import (
    check_digit,
    compact,
    corrections,
    is_valid,
    maker,
    maker_name,
    model_year,
    model_year_is_sure,
    model_years,
    region,
    validate,
    why_no_check_digit,
)

# Each row names its source and whether the text was seen ('source', 'verified').
VECTORS = Path(__file__).parents[2] / "data" / "vin_check_vectors.csv"
with VECTORS.open(encoding="utf-8", newline="") as sheet:
    ROWS = list(csv.DictReader(sheet))
CHECKED = [row for row in ROWS if row["expected_check_digit"]]
DATED = [row for row in ROWS if row["expected_model_year"] and row["use_as"] != "pre-1981"]
GOOD = [row["vin"] for row in ROWS if row["use_as"] == "valid"]
REGULATION = "1G4AH59H45G118341"  # 49 CFR 565, the worked sample of the check digit; text seen
ALPHABET = "ABCDEFGHJKLMNPRSTUVWXYZ0123456789"
# 49 CFR 565.15(c), the letters' values: three runs, of which I, O and Q are left out; text seen.
VALUES = {str(digit): digit for digit in range(10)}
VALUES |= dict(zip("ABCDEFGHIJKLMNOPQR", [*range(1, 10), *range(1, 10)], strict=True))
VALUES |= dict(zip("STUVWXYZ", range(2, 10), strict=True))


def by_vin(row: dict[str, str]) -> str:
    return f"{row['vin']} ({row['verified']})"


def refusal(text: str) -> str:
    with pytest.raises(ValueError, match=r".") as caught:
        validate(text)
    return str(caught.value)


@pytest.mark.parametrize("row", CHECKED, ids=by_vin)
def test_the_check_digit_is_the_one_of_the_table(row: dict[str, str]) -> None:
    assert check_digit(row["vin"]) == row["expected_check_digit"]


@pytest.mark.parametrize("row", ROWS, ids=by_vin)
def test_a_number_is_valid_exactly_where_the_table_says_so(row: dict[str, str]) -> None:
    expected = row["check_digit_ok"] == "yes" or row["use_as"] == "normalise then valid"
    assert is_valid(row["vin"]) == expected


@pytest.mark.parametrize("row", DATED, ids=by_vin)
def test_the_model_year_is_the_one_of_the_table(row: dict[str, str]) -> None:
    assert model_year(row["vin"], 2026) == int(row["expected_model_year"])


def test_the_table_of_vectors_is_whole() -> None:
    assert (len(ROWS), len(CHECKED), len(DATED)) == (28, 22, 11)


def test_letters_in_lower_case_spaces_and_dashes_are_put_right() -> None:
    assert compact(" 1g4ah-59h4 5g118341\n") == REGULATION
    assert validate("1g4ah59h45g118341") == REGULATION


def test_letters_of_other_alphabets_are_not_taken_for_plain_ones() -> None:
    assert (
        refusal("ſGZCZ43D13S812715") == "A VIN has only plain letters and digits; “ſ” is neither."
    )


def test_year_codes_run_from_1980_in_two_cycles() -> None:
    # 49 CFR 565.15, table of model years; text seen.
    codes = {"A": 1980, "H": 1987, "J": 1988, "P": 1993, "R": 1994, "Y": 2000, "1": 2001, "9": 2009}
    for code, year in codes.items():
        assert model_years(f"1G4AH59H4{code}G118341") == (year, year + 30)


@pytest.mark.parametrize("code", "IOQUZ0")
def test_a_sign_that_is_no_year_code_gives_no_year(code: str) -> None:
    # 49 CFR 565.15: position 10 is never U, Z or 0, and no position I, O or Q; text seen.
    assert model_years(f"1G4AH59H4{code}G118341") == ()
    assert model_year(f"1G4AH59H4{code}G118341") is None


def test_position_7_decides_between_the_cycles() -> None:
    # 49 CFR 565.15(b), and 565.25 for the years before 2010; text seen.
    assert model_year("1G4AH59H4CG118341", 2026) == 1982
    assert model_year("1G4AH5AH4CG118341", 2026) == 2012


def test_a_heavy_vehicle_with_two_possible_years_has_to_be_asked_about() -> None:
    assert model_year("1G4AH59H4CG118341", 2026, light=False) is None
    assert model_year("1G4AH59H45G118341", 2026, light=False) == 2005


def test_a_year_too_far_ahead_is_taken_from_the_earlier_cycle_and_unsure() -> None:
    number = "LJCPCBLCX11000237"  # table row: position 7 would mean 2031
    assert (model_year(number, 2026), model_year_is_sure(number, 2026)) == (2001, False)
    assert (model_year(number, 2029), model_year_is_sure(number, 2029)) == (2031, True)


def test_two_swapped_characters_are_refused_with_the_likely_correction() -> None:
    # The table's own row: digits 15 and 16 of the encyclopedic sample swapped.
    assert refusal("1M8GDM9AXKP042878") == (
        "1M8GDM9AXKP042878 does not pass its check digit: character 9 is X, the others ask for 0. "
        "Likely meant: 1M8GDM9AXKP042788."
    )


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "A VIN has 17 characters; this has 0."),
        ("1HGCM82633A00435", "A VIN has 17 characters; this has 16."),
        ("1G4AH59H45G11834*", "A VIN has only plain letters and digits; “*” is neither."),
        (
            "1G4AH59H45G11834１",
            "A VIN has only plain letters and digits; “１” is neither.",
        ),  # full width
        (
            "1HGCM82633A0O4352",
            "A VIN never has the letter O: 1HGCM82633A0O4352. Likely meant: 1HGCM82633A004352.",
        ),
        (
            "1HGCM8I633A004352",
            "A VIN never has the letter I: 1HGCM8I633A004352. Likely meant: 1HGCM82633A004352.",
        ),
    ],
)
def test_each_refusal_says_what_is_wrong(typed: str, sentence: str) -> None:
    assert refusal(typed) == sentence


def test_no_correction_is_guessed_where_there_can_be_no_check_digit() -> None:
    # Table: a European number with Z as filler in position 9, from memory.
    assert refusal("WP0ZZZ99ZTS392124") == (
        "WP0ZZZ99ZTS392124 does not pass its check digit: character 9 is Z, the others ask for 8."
    )


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("SGZCZ43D13S812715", "5GZCZ43D13S812715"),  # table: 5 misread as S
        ("1M8GDM9AXKP04278B", "1M8GDM9AXKP042788"),  # table: 8 misread as B
        ("1HGCM82633A0O4352", "1HGCM82633A004352"),  # table: O for 0
        ("1M8GDM9AXKP042878", "1M8GDM9AXKP042788"),  # table: neighbors swapped
    ],
)
def test_the_first_correction_is_what_was_meant(typed: str, meant: str) -> None:
    assert corrections(typed)[0] == meant


def test_a_misread_check_digit_is_among_the_corrections() -> None:
    # Table: the X of position 9 read as 0.
    assert "1M8GDM9AXKP042788" in corrections("1M8GDM9A0KP042788")


@pytest.mark.parametrize("vin", GOOD)
def test_a_valid_number_has_no_corrections(vin: str) -> None:
    assert corrections(vin) == ()


@pytest.mark.parametrize("vin", GOOD)
def test_every_swap_of_neighbors_that_is_noticed_can_be_undone(vin: str) -> None:
    swaps = {vin[:at] + vin[at + 1] + vin[at] + vin[at + 2 :] for at in range(16)} - {vin}
    noticed = [swap for swap in swaps if not is_valid(swap)]
    assert [swap for swap in noticed if vin not in corrections(swap)] == []


def test_the_check_digit_misses_what_the_regulation_can_not_catch() -> None:
    # Same letter value (A and J), and two positions of equal weight (1 and 11): both pass.
    assert is_valid("1M8GDM9JXKP042788")
    assert is_valid("PM8GDM9AXK1042788")


def test_an_old_number_is_explained_with_its_length() -> None:
    # Pre-1981 numbers have each maker's own form; the 13-character pattern is from memory.
    assert str(why_no_check_digit("1Z37T4S400001")) == (
        "13 characters: cars before model year 1981 have numbers of their maker's own form, "
        "without a check digit. The year has to be typed."
    )


def test_a_number_from_another_market_is_explained() -> None:
    assert str(why_no_check_digit("WP0ZZZ99ZTS392124")) == (
        "A car built for another market need not carry a check digit. Compare the windshield, "
        "the door label and the title."
    )


@pytest.mark.parametrize("typed", [REGULATION, "1M8GDM9AXKP042878", "1HGCM82633A0O4352", "", "*"])
def test_nothing_excuses_a_valid_or_a_mistyped_number(typed: str) -> None:
    assert why_no_check_digit(typed) is None


@pytest.mark.parametrize(
    ("vin", "expected"),
    [
        # ISO 3780, first character; read as a table in an open-source package.
        ("1G4AH59H45G118341", "North America"),
        ("5FNYF5H59HB011946", "North America"),
        ("JHMCM56557C404453", "Asia"),
        ("LJCPCBLCX11000237", "Asia"),
        ("WBA3A5G59DNP26082", "Europe"),
        ("6", "Oceania"),
        ("9", "South America"),
        ("a", "Africa"),
        ("0", ""),
        ("", ""),
    ],
)
def test_the_first_character_names_the_region(vin: str, expected: str) -> None:
    assert region(vin) == expected


def test_a_small_maker_has_six_characters() -> None:
    # 49 CFR 565.15(a); text seen. The number is the table's row of a small maker.
    assert maker("YT9NN1U14KA007175") == "YT9007"
    assert maker(REGULATION) == "1G4"


@given(st.text(ALPHABET, min_size=17, max_size=17))
def test_the_check_digit_makes_any_number_of_the_right_shape_valid(number: str) -> None:
    vin = number[:8] + check_digit(number) + number[9:]
    assert is_valid(vin)


@given(st.text(ALPHABET, min_size=17, max_size=17), st.integers(0, 16), st.sampled_from(ALPHABET))
def test_one_wrong_character_is_noticed_unless_its_value_is_the_same(
    number: str, place: int, sign: str
) -> None:
    vin = number[:8] + check_digit(number) + number[9:]
    wrong = vin[:place] + sign + vin[place + 1 :]
    expected = sign == vin[place] if place == 8 else VALUES[sign] == VALUES[vin[place]]
    assert is_valid(wrong) == expected


@given(st.text(max_size=25))
def test_any_text_is_either_valid_or_refused_in_a_sentence(text: str) -> None:
    assert is_valid(text) or refusal(text).endswith(".")


@pytest.mark.parametrize("vin", GOOD)
@pytest.mark.parametrize("place", [0, 4, 12, 16])
def test_one_wrong_character_in_the_usual_form_leaves_a_short_ranked_list(
    vin: str, place: int
) -> None:
    sign = "7" if vin[place] != "7" else "2"
    wrong = vin[:place] + sign + vin[place + 1 :]
    found = corrections(wrong)
    assert len(found) <= 12
    assert [one for one in found if not is_valid(one)] == []
    assert len(set(found)) == len(found)


def test_any_other_wrong_character_is_found_after_the_likelier_slips() -> None:
    # 1 for 4 in the last place but one of the regulation's sample: no pair that looks alike.
    found = corrections("1G4AH59H45G118311")
    assert REGULATION in found
    assert found.index(REGULATION) > 0


@pytest.mark.parametrize(
    ("vin", "name"),
    [
        # Identifiers of the makers' own, as registered with the US authority; text seen in vPIC.
        ("4T1BE46K37U123456", "Toyota"),
        ("1fa", "Ford"),
        ("KMH", "Hyundai"),
        ("KND", "Kia"),
        ("JF2", "Subaru"),
        ("1HGCM82633A004352", ""),
        ("", ""),
    ],
)
def test_the_identifier_names_the_maker_of_a_frequent_car(vin: str, name: str) -> None:
    assert maker_name(vin) == name
