"""What usually lies behind an amount that differs.

>>> [str(hint) for hint in hints(200, [])]
['Half of it is $1.00: an amount of that much may stand on the wrong side.']
>>> swapped(5400)
[4500, 5040]
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from shared.money import usd
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shared.say import Say

NINE: Final = 9


def hints(differs: int, amounts: Iterable[int]) -> list[Say]:
    """Return what to look for when two sums differ by so many cents; nothing where they don't.

    Half the difference on the wrong side, and the difference itself left out: OpenStax Principles
    of Accounting Vol. 1 sec. 3.6 (Locating Errors), text-seen. Two digits changing places differ
    by a multiple of nine: common practice, no source.
    """
    if not differs:
        return []
    sizes = {abs(amount) for amount in amounts}
    found: list[Say] = []
    if abs(differs) in sizes:
        found.append(
            say("A line has exactly this amount, {usd}: see it first.", usd=usd(abs(differs)))
        )
    if differs % 2 == 0:
        half = abs(differs) // 2
        there = say(" One is in the list.") if half in sizes else say("")
        found.append(
            say(
                "Half of it is {usd}: an amount of that much may stand on the wrong side.{there}",
                usd=usd(half),
                there=there,
            )
        )
    if differs % NINE == 0:
        found.append(say("It can be divided by nine: two digits may have changed places."))
    return found


def swapped(cents: int) -> list[int]:
    """Return the amounts that come of two neighboring digits changing places, without `cents`."""
    digits = str(abs(cents))
    found = set()
    for at in range(len(digits) - 1):
        turned = [*digits[:at], digits[at + 1], digits[at], *digits[at + 2 :]]
        found.add(int("".join(turned)))
    sign = 1 if cents > 0 else -1
    return [sign * amount for amount in sorted(found - {abs(cents), 0})]
