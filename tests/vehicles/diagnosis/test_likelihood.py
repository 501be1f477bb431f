from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.diagnosis.likelihood import Likelihood, figure, likelihood, word, words_and_figure


# 0.90 and 0.02 are those of the rule for conclusions; the others are this program's own choice.
@pytest.mark.parametrize(
    ("p", "expected"),
    [
        (1.0, "nearly certain"),
        (0.90, "nearly certain"),
        (0.8999, "likely"),
        (0.50, "likely"),
        (0.4999, "unsure"),
        (0.20, "unsure"),
        (0.1999, "unlikely"),
        (0.0201, "unlikely"),
        (0.02, "ruled out"),
        (0.0, "ruled out"),
    ],
)
def test_each_word_holds_from_its_threshold_on(p: float, expected: str) -> None:
    assert str(word(p)) == expected


@pytest.mark.parametrize(
    ("p", "expected"),
    [
        (0.0, "0 in 100"),
        (1e-15, "under 1 in 100"),
        (0.0049, "under 1 in 100"),
        (0.005, "1 in 100"),
        (0.54, "54 in 100"),
        (0.545, "55 in 100"),
        (0.994, "99 in 100"),
        (0.996, "over 99 in 100"),
        (1 - 1e-9, "over 99 in 100"),
        (1.0, "100 in 100"),
    ],
)
def test_figures_are_whole_and_say_nothing_is_sure_that_is_not(p: float, expected: str) -> None:
    assert str(figure(p)) == expected


def test_the_word_stands_before_the_figure() -> None:
    assert str(words_and_figure(0.97)) == "nearly certain, 97 in 100"


def test_a_threshold_met_but_for_rounding_is_met() -> None:
    assert likelihood(0.3 * 3) is Likelihood.NEARLY_CERTAIN
    assert likelihood(0.9 - 1e-12) is Likelihood.NEARLY_CERTAIN


@given(st.floats(0, 1), st.floats(0, 1))
def test_a_likelier_fault_never_has_the_weaker_word(one: float, other: float) -> None:
    order = list(Likelihood)
    low, high = sorted((one, other))
    assert order.index(likelihood(high)) <= order.index(likelihood(low))
