"""What an owner reads before saying yes to more, in words that no law wrote.

State law says what such a yes has to hold, and the program's counsel decides. What a technician
typed, the reason or a title of their own, stays as it was typed; an interpreter says it.

>>> found = More(car="2012 Toyota Corolla", garage="Osier Street Garage", reason="It is cracked.",
...     work=("Front rotors",), cents=180_00, authorized_cents=600_00, percent=10)
>>> str(words_of(found).opening)[:63]
'While we repaired your 2012 Toyota Corolla we found more to do.'
>>> str(words_of(found).lines[2])
'It takes $180.00 more. $600.00 was agreed; with this it is $780.00.'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.money import usd
from shared.say import say

if TYPE_CHECKING:
    from shared.say import Say

WHOLE = 100

#: What a yes and a no mean, for the paper and the page.
YES: Final = say("Yes: you may do this work too.")
NO: Final = say("No: do not do this work.")


@dataclass(frozen=True, kw_only=True)
class More:
    """What is asked for: the work, why, and the amount on top of what was authorized."""

    car: str
    garage: str
    reason: str
    work: tuple[str, ...]
    cents: int
    authorized_cents: int
    percent: int


@dataclass(frozen=True, kw_only=True)
class Asked:
    """The text that is read to an owner, in no language yet."""

    title: Say
    opening: Say
    lines: tuple[Say, ...]
    promise: Say


def words_of(more: More) -> Asked:
    """Return what an owner reads or hears; the same supplement gives the same words."""
    total = more.authorized_cents + more.cents
    limit = total * (WHOLE + more.percent) // WHOLE
    return Asked(
        title=say("More work on your car"),
        opening=say(
            "While we repaired your {car} we found more to do. Nothing of it is done without your"
            " yes.",
            car=more.car,
        ),
        lines=(
            say("The work: {work}.", work=", ".join(more.work)),
            say("Why, in the words of the shop: {reason}", reason=more.reason),
            say(
                "It takes {more} more. {authorized} was agreed; with this it is {total}.",
                more=usd(more.cents),
                authorized=usd(more.authorized_cents),
                total=usd(total),
            ),
            say(
                "The amount is an estimate: eight of ten such repairs cost no more. Above {limit}"
                " the work stops, and you are asked again. This is no bill.",
                limit=usd(limit),
            ),
            say(
                "You may say no. Then we make the car ready to roll, take it off the lift within"
                " two business days, and talk with you about what comes next."
            ),
        ),
        promise=say(
            "{garage} may do this work on my {car}. I was told what it is, why, and what it takes.",
            garage=more.garage,
            car=more.car,
        ),
    )
