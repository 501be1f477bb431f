"""What stands in the way, as values that a page can list and an action can refuse on.

>>> problem = Problem(say("The general fund lacks $140.00."), remedy=say("Ask for $140.00."))
>>> blockers([problem]) == [problem]
True
>>> blockers([Problem(say("Near the limit."), level=Level.WARNING)])
[]
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterable


class Level(StrEnum):
    """How far a problem goes: nothing moves, a person must allow it, or it is only said."""

    BLOCKER = "blocker"
    APPROVAL = "approval"
    WARNING = "warning"


@dataclass(frozen=True)
class Problem:
    """One thing in the way: the sentence that says it, what to do, and how far it goes."""

    sentence: Say
    remedy: Say = say("")
    level: Level = Level.BLOCKER
    where: str = ""  # the field, row or item it belongs to; empty for the whole


def blockers(problems: Iterable[Problem]) -> list[Problem]:
    """Return those problems that an action has to refuse on, in the order given."""
    return [problem for problem in problems if problem.level == Level.BLOCKER]
