"""What an owner reads, and the digest that says which words it was."""

from __future__ import annotations

from hashlib import sha256

import pytest

from vehicles.custody.acts import Act
from vehicles.custody.wording import OPENING, digest, promise


@pytest.mark.parametrize("act", Act)
def test_each_act_names_the_garage_and_the_car(act: Act) -> None:
    text = str(promise(act, car="2012 Toyota Corolla", garage="Osier Street Garage"))
    assert text.startswith("Osier Street Garage may ")
    assert "my 2012 Toyota Corolla" in text
    assert text.endswith(".")


def test_the_acts_differ_in_words() -> None:
    assert len({promise(act, car="car", garage="garage") for act in Act}) == len(Act)


def test_the_opening_says_that_it_can_be_taken_back() -> None:
    assert "take back" in str(OPENING)


def test_a_digest_tells_one_text_from_another() -> None:
    assert digest(["a", "b"]) == sha256(b"a\nb").hexdigest()
    assert digest(["a", "b"]) != digest(["a", "c"])
