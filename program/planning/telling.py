"""The sentences of what to ask for.

>>> str(frees("Radiator", ["26-043"], [], 8))
'One radiator would free 26-043: 8 points more of need.'
>>> str(same_as(620_00, "tires fund"))
'The same as $620.00 in the tires fund.'
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.planning.wording import as_noun, case_list, listed, more
from shared.money import usd
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shared.say import Say


def frees(part: str, freed: Sequence[str], displaced: Sequence[str], gain: int) -> Say:
    """Return what a part that is asked for would bring home."""
    return would_free(one(part), freed, displaced, gain)


def one(part: str) -> Say:
    """Return `One radiator`."""
    return say("One {part}", part=as_noun(part))


def together(parts: Sequence[str]) -> Say:
    """Return `One radiator and one alternator together`."""
    rest = [say("one {part}", part=as_noun(part)) for part in parts[1:]]
    return say("{parts} together", parts=listed([one(parts[0]), *rest]))


def would_free(
    gift: Say, freed: Sequence[str], displaced: Sequence[str], gain: int, *, most: bool = False
) -> Say:
    """Return what a gift would bring home; `most` when that is more than any part would."""
    cases = case_list(freed)
    if displaced:
        cases = say("{cases} in place of {others}", cases=cases, others=case_list(displaced))
    if most:
        return say(
            "{gift} would free more than any part: {cases}, {gain}.",
            gift=gift,
            cases=cases,
            gain=more(gain),
        )
    return say("{gift} would free {cases}: {gain}.", gift=gift, cases=cases, gain=more(gain))


def could_free(gift: Say, bound: int) -> Say:
    """Return the most that a gift could free, before it is settled."""
    return say("{gift} could free {gain} at most.", gift=gift, gain=more(bound))


def saves(part: str, cents: int) -> Say:
    """Return what a part that is asked for would save."""
    return say("{gift} would save {cents}.", gift=one(part), cents=usd(cents))


def same_as(cents: int | None, fund: str, *, proven: bool = True) -> Say:
    """Return the money that would do the same as a gift."""
    if cents is None:
        return (
            say("No money alone does it.") if proven else say("No money alone was found to do it.")
        )
    if proven:
        return say("The same as {cents} in the {fund}.", cents=usd(cents), fund=fund)
    return say("The same as {cents} in the {fund}, or less.", cents=usd(cents), fund=fund)
