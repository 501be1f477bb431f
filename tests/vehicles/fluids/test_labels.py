"""Labels taken apart. Grades: SAE J300 and J306, from memory."""

from __future__ import annotations

import pytest

from vehicles.fluids.labels import Oil, affirmed, key, more, said, upper


def test_a_label_is_taken_apart_into_grades_classes_and_names() -> None:
    one = Oil.parse("SAE 5W-30, API SP/SN PLUS, ILSAC GF-6A, ACEA C3, VW 504 00")
    assert one.grades == {"5W-30"}
    assert one.marks == {"API SP", "API SN PLUS", "ILSAC GF-6A", "ACEA C3", "VW 504 00"}
    assert Oil.parse("SAE 30").grades == {"30"}
    assert Oil.parse("5W-35, 15W-90").grades == frozenset()
    assert said("Toyota red ATF").claims == frozenset()


# The winter and hot grades of SAE J300 and J306, from memory.
@pytest.mark.parametrize(
    ("text", "grades"),
    [
        ("0W-8", {"0W-8"}),
        ("5w30", {"5W-30"}),
        ("25W 60", {"25W-60"}),
        ("75W-140", {"75W-140"}),
        ("SAE 80W-90", {"80W-90"}),
        ("5W-90", set()),
        ("75W-30", set()),
        ("DOT 4", set()),
    ],
)
def test_only_grades_of_the_standards_are_grades(text: str, grades: set[str]) -> None:
    assert Oil.parse(text).grades == grades


def test_each_or_opens_another_way_to_meet_the_demand() -> None:
    assert Oil.parse("5W-30 API SN or ILSAC GF-5").options == (
        frozenset({"API SN"}),
        frozenset({"ILSAC GF-5"}),
    )


def test_all_that_follows_a_not_in_a_sentence_is_denied() -> None:
    assert affirmed("WS, SP-IV. Not for CVT, DCT; JWS 3309") == (
        "WS, SP-IV; ;  JWS 3309",
        " for CVT, DCT",
    )


def test_names_are_compared_without_case_signs_and_spaces() -> None:
    assert upper("Dexron® vi–x\nws") == "DEXRON VI-X; WS"
    assert key("VW 502 00") == key("VW50200") == "VW50200"
    assert key("ATF+4") == "ATF+4"


def test_plain_words_more_ask_but_a_number_or_a_short_sign_tells_apart() -> None:
    assert more(("WS",), ("WS", "PREMIUM"))
    assert not more(("MERCON",), ("MERCON", "LV"))
    assert not more(("NS",), ("NS", "3000"))
    assert not more(("WS",), ("WS",))
