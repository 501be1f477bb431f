from __future__ import annotations

import pytest

from shared.problems import Problem
from shared.say import say
from vehicles.diagnosis.problem import MOST_MISTAKES, Mistakes, line_of, shown


@pytest.mark.parametrize(
    ("word", "known", "line"),
    [
        ("brake", ["brakes", "body"], "x: “brake” is not known here. Did you mean “brakes”?"),
        ("tank", ["body", "fuel"], "x: “tank” is not known here. Use one of: body, fuel."),
        ("tank", [], "x: “tank” is not known here. There are none."),
    ],
)
def test_a_word_that_is_none_of_those_known_is_said_with_what_is(
    word: str, known: list[str], line: str
) -> None:
    mistakes = Mistakes()
    mistakes.add_unknown("x", word, known)
    assert [line_of(one) for one in mistakes.found] == [line]


def test_of_many_words_the_first_are_named() -> None:
    mistakes = Mistakes()
    mistakes.add_unknown("x", "??", [f"w{n}" for n in range(40)])
    assert str(mistakes.found[0].sentence).endswith("w23, w24, ….")


def test_after_the_last_mistake_taken_in_it_is_said_once_that_there_are_more() -> None:
    mistakes = Mistakes()
    for _ in range(MOST_MISTAKES + 5):
        mistakes.add("x", say("So."))
    assert len(mistakes.found) == MOST_MISTAKES + 1
    assert mistakes.is_full
    assert mistakes.found[-1] == Problem(say("More mistakes follow; mend those above first."))


def test_a_mistake_of_the_whole_file_has_no_place() -> None:
    assert line_of(Problem(say("So."))) == "So."


def test_a_text_is_shown_short_and_printable() -> None:
    assert (shown("a\nb"), shown("a" * 61)) == ("a·b", "a" * 60 + "…")
