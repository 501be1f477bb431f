from __future__ import annotations

from shared.problems import Level, Problem, blockers
from shared.say import say


def test_only_blockers_stand_in_the_way_and_keep_their_order() -> None:
    second, first = (Problem(say(text)) for text in ("B.", "A."))
    others = [Problem(say("C."), level=level) for level in (Level.APPROVAL, Level.WARNING)]
    assert blockers([second, *others, first]) == [second, first]


def test_a_problem_blocks_unless_it_says_otherwise() -> None:
    assert Problem(say("The fund is empty.")).level is Level.BLOCKER
