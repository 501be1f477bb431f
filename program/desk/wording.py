"""What the first page says: how many things wait, which stands first, what the plan brings.

>>> from datetime import date
>>> slip = Slip(title=say("Read one appeal, then send it"), due_on=date(2026, 12, 1))
>>> str(heading([slip, slip]))
'Two things wait for you'
>>> str(due(date(2026, 12, 1), date(2026, 11, 30)))
'by Tuesday'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.dates import DAYS_A_WEEK, long_date, short_date
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

MOST_SLIPS: Final = 7
_WORDS: Final = ("Nothing", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine")
_NOTHING = say("")


@dataclass(frozen=True, kw_only=True)
class Slip:
    """One thing that waits for a person: what to do, why, and the day on which it runs out."""

    title: Say
    due_on: date
    why: Say = _NOTHING
    by: Say = _NOTHING
    url: str = ""
    count: int = 1


def in_order(slips: Iterable[Slip]) -> list[Slip]:
    """Return the slips, what runs out first standing first; equals keep their order."""
    return sorted(slips, key=lambda slip: slip.due_on)


def heading(slips: Sequence[Slip]) -> Say:
    """Return how many things wait, over all slips."""
    count = sum(slip.count for slip in slips)
    if not count:
        return say("Nothing waits for you")
    word = _WORDS[count] if count < len(_WORDS) else f"{count}"
    if count == 1:
        return say("One thing waits for you")
    return say("{count} things wait for you", count=word)


def due(day: date, today: date) -> Say:
    """Return by when something is to be done, as short as a slip's edge holds."""
    days = (day - today).days
    if days < -1:
        return say("{days} days late", days=-days)
    if days == -1:
        return say("one day late")
    if days == 0:
        return say("today")
    if days < DAYS_A_WEEK:
        return say("by {day}", day=f"{day:%A}")
    return say("by {day}", day=short_date(day))


def plan_leads(
    cars: int, last_on: date | None, *, approved: bool, deciding: int, waiting: int
) -> tuple[Say, ...]:
    """Return the lead of the desk: what the plan brings home, then what it leaves out."""
    if not cars or last_on is None:
        first = say("No car can go home in the weeks of the plan.")
    elif cars == 1:
        first = say("One car can go home by {day}.", day=long_date(last_on))
    else:
        first = say(
            "{count} cars can go home by {day}.", count=counted(cars), day=long_date(last_on)
        )
    found = [first]
    if deciding:
        found.append(_cases(deciding, say("One needs a decision."), "decision"))
    if waiting:
        found.append(_cases(waiting, say("One waits."), "waiting"))
    if not approved:
        found.append(say("This plan is not approved yet."))
    return tuple(found)


def _cases(count: int, one: Say, kind: str) -> Say:
    if count == 1:
        return one
    if kind == "decision":
        return say("{count} need a decision.", count=counted(count))
    return say("{count} wait.", count=counted(count))


def counted(count: int) -> str:
    """Return a count at the start of a sentence: a word up to nine, then figures."""
    return _WORDS[count] if 0 < count < len(_WORDS) else str(count)


def lower(count: int) -> str:
    """Return a count inside a sentence: a word up to nine, then figures."""
    return counted(count).lower()


def listed(names: Sequence[str], most: int = 3) -> str:
    """Return names as a sentence lists them, the rest as a number.

    >>> listed(["Abara", "Farrow"]), listed(["Abara", "Brandt", "Dang", "Okafor"])
    ('Abara and Farrow', 'Abara, Brandt, Dang and 1 more')
    """
    shown = list(names[:most])
    if len(names) > most:
        return f"{', '.join(shown)} and {len(names) - most} more"
    return " and ".join([", ".join(shown[:-1]), shown[-1]] if len(shown) > 1 else shown)


def quoted(text: str, longest: int = 90) -> str:
    """Return the start of a text in quotes, on one line.

    >>> quoted("Can I drive?")
    '“Can I drive?”'
    """
    line = " ".join(text.split())
    return f"“{line}”" if len(line) <= longest else f"“{line[: longest - 1].rstrip()}…”"
