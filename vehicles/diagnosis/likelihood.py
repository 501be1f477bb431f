"""How sure a conclusion is, in words first and then as so many in a hundred.

The thresholds of “nearly certain” and “ruled out” are those of the rule for conclusions; where
likely, unsure and unlikely part is this program's own choice, not a standard.

>>> str(word(0.54)), figure(0.54).msgid, str(figure(0.54))
('likely', '{count} in 100', '54 in 100')
>>> str(figure(0.9997)), str(figure(0.0003)), str(figure(1.0))
('over 99 in 100', 'under 1 in 100', '100 in 100')
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Final

from shared.say import say

if TYPE_CHECKING:
    from shared.say import Say

#: At or over this a fault that was seen is confirmed.
NEARLY_CERTAIN: Final = 0.90
#: At or over this a fault is likelier than not. Own choice.
LIKELY: Final = 0.50
#: Under this a fault is unlikely. Own choice.
UNLIKELY: Final = 0.20
#: At or under this a fault is ruled out.
RULED_OUT: Final = 0.02

# Sums of many products are off by so much; a threshold that is met but for that is met.
_ROUNDING: Final = 1e-9
_EXACT: Final = 1e-12


class Likelihood(StrEnum):
    """How likely a fault is, as a word."""

    NEARLY_CERTAIN = "nearly_certain"
    LIKELY = "likely"
    UNSURE = "unsure"
    UNLIKELY = "unlikely"
    RULED_OUT = "ruled_out"

    @property
    def said(self) -> Say:
        """The word inside a sentence."""
        return _WORDS[self]


def likelihood(p: float) -> Likelihood:
    """Return the word for a probability."""
    if p <= RULED_OUT + _ROUNDING:
        return Likelihood.RULED_OUT
    steps = {
        NEARLY_CERTAIN: Likelihood.NEARLY_CERTAIN,
        LIKELY: Likelihood.LIKELY,
        UNLIKELY: Likelihood.UNSURE,
    }
    for least, word_ in steps.items():
        if p >= least - _ROUNDING:
            return word_
    return Likelihood.UNLIKELY


def word(p: float) -> Say:
    """Return the word for a probability inside a sentence."""
    return likelihood(p).said


def figure(p: float) -> Say:
    """Return a probability as whole ones in a hundred; 0 and 100 only where it is exact."""
    count = int(p * 100 + 0.5 + _ROUNDING)
    if count < 1 and p > 0:
        return say("under 1 in 100")
    if count == 100 and p < 1 - _EXACT:  # noqa: PLR2004 - as the words say
        return say("over 99 in 100")
    return say("{count} in 100", count=count)


def words_and_figure(p: float) -> Say:
    """Return both: `likely, 54 in 100`."""
    return say("{word}, {figure}", word=word(p), figure=figure(p))


_WORDS: Final = {
    Likelihood.NEARLY_CERTAIN: say("nearly certain"),
    Likelihood.LIKELY: say("likely"),
    Likelihood.UNSURE: say("unsure"),
    Likelihood.UNLIKELY: say("unlikely"),
    Likelihood.RULED_OUT: say("ruled out"),
}
