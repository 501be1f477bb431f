"""The one list of system codes."""

from __future__ import annotations

import pytest

from vehicles.shop.systems import System


def test_a_system_is_read_as_people_type_it() -> None:
    assert System.parse(" Brakes ") is System.BRAKES


def test_an_unknown_system_is_refused_with_the_list() -> None:
    with pytest.raises(ValueError, match="not a system") as refusal:
        System.parse("bodywork")
    assert str(refusal.value).startswith("“bodywork” is not a system. Use one of: brakes, steering")


def test_a_label_is_the_code_unless_two_words_say_more() -> None:
    assert (System.TIRES.label, System.GLASS.label) == ("Tires", "Glass and wipers")
