"""What is different between two versions of an estimate, in sentences.

>>> before = Told(lines={1: ("Radiator", 120_00), 2: ("Bulb", 8_00)}, p80_cents=160_00)
>>> after = Told(lines={1: ("Radiator", 140_00), 3: ("Thermostat", 25_00)}, p80_cents=205_00)
>>> for one in changes(before, after):
...     print(one)
Radiator: likely $120.00 before, $140.00 now.
Thermostat is new, likely $25.00.
Bulb is no longer in it; it was likely $8.00.
Eight in ten such cars cost at most $205.00 now, $160.00 before.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shared.money import usd
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping


@dataclass(frozen=True, kw_only=True)
class Told:
    """A version as it is compared: by item its title and likely cents, and the 80 percent point."""

    lines: Mapping[int, tuple[str, int]]
    p80_cents: int


def changes(before: Told, after: Told) -> tuple[Say, ...]:
    """Return what is different, item by item, then the whole; nothing where nothing is."""
    found = [*_items(before, after)]
    if before.p80_cents != after.p80_cents:
        sentence = "Eight in ten such cars cost at most {now} now, {before} before."
        found.append(say(sentence, now=usd(after.p80_cents), before=usd(before.p80_cents)))
    return tuple(found)


def _items(before: Told, after: Told) -> Iterator[Say]:
    for item, (title, likely) in sorted(after.lines.items()):
        if item not in before.lines:
            yield say("{title} is new, likely {now}.", title=title, now=usd(likely))
        elif (was := before.lines[item][1]) != likely:
            sentence = "{title}: likely {before} before, {now} now."
            yield say(sentence, title=title, before=usd(was), now=usd(likely))
    for item, (title, likely) in sorted(before.lines.items()):
        if item not in after.lines:
            sentence = "{title} is no longer in it; it was likely {before}."
            yield say(sentence, title=title, before=usd(likely))
