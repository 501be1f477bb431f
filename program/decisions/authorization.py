"""How far the work may go: what was authorized, what it comes to, who says yes to more.

Cents and minutes are whole. The limit is the authorized amount and the program's percentage on top,
rounded down, so that a cent beyond it stops the work. Source: Md. Commercial Law 14-1002(b), 10
percent, text seen; Alaska Stat. 45.45.140 allows nothing without approval, text seen: a program
there sets its percentage to 0. State law differs, and the program's counsel decides.

>>> found = forecast(spent_cents=400_00, to_go_p80_cents=260_00, authorized_cents=600_00)
>>> found.level, found.total_cents, found.limit_cents
(<Level.NEAR: 'near'>, 66000, 66000)
>>> str(decide(to_go_p80_cents=900_00, stopping_cents=None, cap_cents=1500_00).reasons[0])
'What is left costs $900.00; a case may take $1,500.00.'
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from shared.money import usd
from shared.say import Say, say
from vehicles.custody.kinds import Joined

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from vehicles.custody.authority import Named

OVER_PERCENT: Final = 10
DECIDE_DAYS: Final = 2  # business days for a supplement's answers (common practice, no source)
MOST_CENTS: Final = 100_000_00  # more than this for one car is a slip of the finger
_WHOLE: Final = 100


class Level(StrEnum):
    """How far the work is from what was authorized."""

    WITHIN = "within"
    NEAR = "near"
    STOP = "stop"


@dataclass(frozen=True, kw_only=True)
class Forecast:
    """What a car comes to in eight of ten cases, against what was authorized for it.

    `limit_cents` is the last amount with which the work goes on.
    """

    spent_cents: int
    to_go_cents: int
    authorized_cents: int
    over_percent: int
    limit_cents: int
    level: Level

    @property
    def total_cents(self) -> int:
        """What is spent and what is left to be spent."""
        return self.spent_cents + self.to_go_cents

    @property
    def over_cents(self) -> int:
        """How much more than authorized the whole comes to; 0 when it does not."""
        return max(self.total_cents - self.authorized_cents, 0)

    @property
    def stops(self) -> bool:
        """Whether nobody may go on with the work."""
        return self.level is Level.STOP

    @property
    def sentence(self) -> Say:
        """What this means, in one sentence with its figures."""
        values = {
            "total": usd(self.total_cents),
            "authorized": usd(self.authorized_cents),
            "limit": usd(self.limit_cents),
            "percent": self.over_percent,
        }
        return Say(_SENTENCES[self.level].msgid, tuple(values.items()))


_SENTENCES: Final = {
    Level.WITHIN: say(
        "The work comes to {total} of the {authorized} authorized. It stops above {limit}."
    ),
    Level.NEAR: say(
        "The work goes beyond the {authorized} authorized: {total}. It stops above {limit}."
    ),
    Level.STOP: say(
        "The work has stopped: it comes to {total}, and {authorized} is authorized. More than"
        " {percent} percent on top, {limit}, needs a yes of its own."
    ),
}


def forecast(
    *,
    spent_cents: int,
    to_go_p80_cents: int,
    authorized_cents: int,
    over_percent: int = OVER_PERCENT,
) -> Forecast:
    """Return how far the work is from what was authorized, exact to the cent.

    It is near where spent and to go together pass the authorized amount, and stops where they pass
    the limit. What is authorized is the 80 percent point, so a car begins at the whole of it.

    Raises:
        ValueError: an amount or the percentage is below zero.
    """
    if min(spent_cents, to_go_p80_cents, authorized_cents, over_percent) < 0:
        raise ValueError("An amount of an authorization can’t be below zero.")
    total = spent_cents + to_go_p80_cents
    limit = authorized_cents * (_WHOLE + over_percent) // _WHOLE
    level = Level.WITHIN
    if total > limit:
        level = Level.STOP
    elif total > authorized_cents:
        level = Level.NEAR
    return Forecast(
        spent_cents=spent_cents,
        to_go_cents=to_go_p80_cents,
        authorized_cents=authorized_cents,
        over_percent=over_percent,
        limit_cents=limit,
        level=level,
    )


class Advice(StrEnum):
    """What the figures speak for; a person decides and signs."""

    GO_ON = "go_on"
    STOP = "stop"


@dataclass(frozen=True, kw_only=True)
class Recommendation:
    """What the figures speak for, in a sentence, and the reasons with their figures."""

    advice: Advice
    sentence: Say
    reasons: tuple[Say, ...]


_ADVICE: Final = {
    Advice.GO_ON: say("The figures speak for going on."),
    Advice.STOP: say("The figures speak for stopping: return the car, or find another one."),
}


def decide(
    *,
    to_go_p80_cents: int,
    stopping_cents: int | None,
    cap_cents: int,
    spent_cents: int = 0,
) -> Recommendation:
    """Return whether the figures speak for going on, by what is left to spend and nothing else.

    Args:
        to_go_p80_cents: what is left of the whole car, at its 80 percent point.
        stopping_cents: what it costs to return the car unrepaired (tow, hours to make it roll);
            None while nobody knows.
        cap_cents: the most that one case may take before it goes to a decision (program policy).
        spent_cents: what is gone either way; it is said and never counts.
    """
    cheap = stopping_cents is not None and to_go_p80_cents <= stopping_cents
    advice = Advice.GO_ON if cheap or to_go_p80_cents <= cap_cents else Advice.STOP
    to_go = usd(to_go_p80_cents)
    reasons = [
        say("What is left costs {to_go}; a case may take {cap}.", to_go=to_go, cap=usd(cap_cents))
    ]
    if stopping_cents is None:
        reasons.append(say("Nobody knows what stopping costs: a tow, and hours to make it roll."))
    else:
        reasons.append(
            say("To return it unrepaired costs about {amount}.", amount=usd(stopping_cents))
        )
    if spent_cents:
        reasons.append(
            say("{amount} is spent either way and doesn’t count.", amount=usd(spent_cents))
        )
    return Recommendation(advice=advice, sentence=_ADVICE[advice], reasons=tuple(reasons))


def still_to_sign(
    signers: Sequence[Named], joined: Joined, signed: Collection[int]
) -> tuple[Named, ...]:
    """Return who has to say yes still, given the ids of those who did; empty when nobody has to.

    All of them where the title joins its names with “and”, else one of them: the rule by which a
    repair is authorized (`vehicles.custody.authority`).

    >>> from vehicles.custody.acts import OwnerKind
    >>> from vehicles.custody.authority import Named
    >>> two = [Named(id=n, name=f"Haskell {n}", kind=OwnerKind.TITLE) for n in (1, 2)]
    >>> [one.id for one in still_to_sign(two, Joined.ALL, {1})], still_to_sign(two, Joined.ANY, {1})
    ([2], ())
    """
    missing = tuple(one for one in signers if one.id not in signed)
    enough = len(missing) < len(signers) and joined is not Joined.ALL
    return () if enough else missing


def may_grant(*, asked_by: int, grants: int) -> bool:
    """Return whether a person may say yes for the budget: who asks for money doesn't grant it."""
    return asked_by != grants


def seen_key(total_cents: int, minutes: int) -> str:
    """Return what shows whether these are still the figures that somebody saw."""
    return f"{total_cents}:{minutes}"
