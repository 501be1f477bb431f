"""A gift for one named person is found in the giver's words.

Source of the rule: IRS Publication 526, “must not be set aside for use by a specific person”
(text-seen; reference charity rules 7.4). The phrases are common practice, no source.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.gifts.earmarks import QUOTE, Named, earmarks, preference

HOUSEHOLDS = [
    Named(name="Dana Haskell", cases=("26-041", "25-007")),
    Named(name="Grace de la Cruz", cases=("26-042",)),
    Named(name="Jo Ng"),
    Named(name="Prentiss family", cases=("26-050",)),
]


@pytest.mark.parametrize(
    ("terms", "found"),
    [
        ("For Dana.", ["Dana"]),
        ("It is for the HASKELL car", ["HASKELL"]),
        ("for dana haskell’s brakes", ["dana", "haskell"]),
        ("Please use it on 26-041.", ["26-041"]),
        ("To help Ng get to work", ["Ng"]),
        ("Let this help our Grace.", ["Grace"]),
        ("For my daughter, who can't afford it", ["For my daughter"]),
        ("For Mrs. Okafor at church", ["For Mrs. Okafor"]),
        ("Only for the Okafor family", ["the Okafor family"]),
        ("To fix Amina's car", ["Amina's car"]),
        ("On behalf of their neighbor", ["On behalf of their neighbor"]),
    ],
)
def test_a_person_is_found(terms: str, found: list[str]) -> None:
    assert [one.words for one in earmarks(terms, HOUSEHOLDS)] == found


@pytest.mark.parametrize(
    "terms",
    [
        "Brakes and tires for people who drive to work.",
        "Grace and patience are wanted: any car will do.",  # opens the sentence, an everyday word
        "In honor of my mother.",
        "So that a family gets to work.",
        "For veterans in Orrin County.",
        "Two hundred for danaher pipe fittings.",  # part of a longer word
        "Model 126-0411 hoses.",
        "For de-icing and la vista parts.",
        str(preference()),
    ],
)
def test_a_purpose_is_no_person(terms: str) -> None:
    assert earmarks(terms, HOUSEHOLDS) == []


def test_the_sentence_quotes_the_rule_and_offers_a_preference() -> None:
    (one,) = earmarks("For Dana", HOUSEHOLDS)
    assert str(one.problem.sentence) == (
        f"“Dana” may mean one household. A gift “{QUOTE}” (IRS Publication 526)."
    )
    assert str(one.problem.remedy) == (
        "Ask the giver for a preference instead; who is helped is decided here."
    )


@given(st.sampled_from(HOUSEHOLDS), st.sampled_from(["", " please", ", and thanks"]), st.booleans())
def test_a_whole_name_is_found_wherever_it_stands(
    one: Named,
    after: str,
    upper: bool,  # noqa: FBT001  # hypothesis gives it by place
) -> None:
    name = one.name.upper() if upper else one.name
    assert earmarks(f"This is for {name}{after}", HOUSEHOLDS) != []
