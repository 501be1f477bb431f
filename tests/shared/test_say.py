from __future__ import annotations

import pytest

from shared.say import say


def test_a_sentence_is_english_by_itself() -> None:
    assert (
        str(say("{name} lacks {count} parts.", name="26-041", count=2)) == "26-041 lacks 2 parts."
    )


def test_a_sentence_is_rendered_in_the_language_of_its_reader() -> None:
    spanish = {"{car} waits for {part}.": "{car} espera {part}.", "a tire": "una llanta"}
    sentence = say("{car} waits for {part}.", car="26-041", part=say("a tire"))
    assert sentence.render(lambda msgid: spanish[msgid]) == "26-041 espera una llanta."


def test_equal_sentences_are_one_in_a_set() -> None:
    assert len({say("{n} left.", n=1), say("{n} left.", n=1), say("{n} left.", n=2)}) == 2


def test_a_place_without_its_value_is_a_mistake_of_ours() -> None:
    with pytest.raises(KeyError, match="count"):
        str(say("{count} parts."))
