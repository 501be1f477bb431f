"""The one thing that comes next on a stay, from what is recorded of it.

>>> str(next_of_stay(StayFacts(asked=True, may_look=True, tagged=True)).sentence)
'Next: walk round the car and mark what is seen.'
>>> next_of_stay(StayFacts()).page
'custody:record_standing'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shared.say import Say, say


@dataclass(frozen=True, kw_only=True)
class StayFacts:
    """What is recorded of a stay so far.

    `may_look` means that an owner has said yes to the diagnosis and nothing stands against it.
    `stopped` means that the repair goes beyond what was authorized for it.
    `depth` is that of the sheet that is open or was open last; empty before the first.
    """

    asked: bool = False
    may_look: bool = False
    tagged: bool = False
    walked: bool = False
    depth: str = ""
    is_open: bool = False
    left: int = 0
    findings: int = 0
    items: int = 0
    may_repair: bool = False
    stopped: bool = False


@dataclass(frozen=True, kw_only=True)
class StayStep:
    """The next thing, the name of the page on which it is done, and what its button says."""

    sentence: Say
    page: str
    button: Say


_ASK: Final = StayStep(
    sentence=say("Next: ask whose the car is and what stands against it."),
    page="custody:record_standing",
    button=say("Ask whose it is"),
)
_SIGN: Final = StayStep(
    sentence=say("Next: an owner says yes. Until then look, but take nothing apart."),
    page="custody:custody_page",
    button=say("See who has to sign"),
)
_KEYS: Final = StayStep(
    sentence=say("Next: tag the keys and list what lies in the car."),
    page="custody:keep_keys",
    button=say("Tag the keys"),
)
_WALK: Final = StayStep(
    sentence=say("Next: walk round the car and mark what is seen."),
    page="intake:walk_round",
    button=say("Walk round the car"),
)
_LOOK: Final = StayStep(
    sentence=say("Next: the 20-minute look."),
    page="inspection:sheet",
    button=say("Open the inspection sheet"),
)
_PROPOSE: Final = StayStep(
    sentence=say("Next: the repair items that clear the findings."),
    page="repairs:item_list",
    button=say("Repair items"),
)
_REPAIR: Final = StayStep(
    sentence=say("Next: an owner says yes to the repair."),
    page="custody:custody_page",
    button=say("See who has to sign"),
)
_BEYOND: Final = StayStep(
    sentence=say("The work has stopped: it goes beyond what was authorized."),
    page="decisions:stay_decisions",
    button=say("See what was authorized"),
)
_FINAL: Final = StayStep(
    sentence=say("Nothing is open. Next: the final sheet, before the car leaves."),
    page="inspection:sheet",
    button=say("Open the inspection sheet"),
)


def next_of_stay(facts: StayFacts) -> StayStep:
    """Return what comes next on a stay that goes on: papers, keys, walk-round, sheet, repair."""
    early = (
        (facts.stopped, _BEYOND),
        (not facts.asked and not facts.may_look, _ASK),
        (not facts.may_look, _SIGN),
        (not facts.tagged, _KEYS),
        (not facts.walked, _WALK),
        (not facts.depth, _LOOK),
    )
    return next((step for is_next, step in early if is_next), None) or _after_look(facts)


def _after_look(facts: StayFacts) -> StayStep:
    """Return what comes next once a sheet was begun."""
    if facts.left and (facts.is_open or not facts.findings):
        return StayStep(
            sentence=say("Next: {count} points of the sheet are left to read.", count=facts.left),
            page="inspection:sheet",
            button=say("Open the inspection sheet"),
        )
    if facts.findings and not facts.items:
        return _PROPOSE
    if facts.items and not facts.may_repair:
        return _REPAIR
    if facts.items:
        return StayStep(
            sentence=say("Next: the repair. Open items: {count}.", count=facts.items),
            page="repairs:item_list",
            button=say("Repair items"),
        )
    return _FINAL
