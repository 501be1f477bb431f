"""What an owner reads before saying yes, act by act, in words that the law did not write.

State law says what a consent has to hold, and a program's counsel decides; the words here are our
own. Two texts are the same when their digests are: the digest is kept with each signature.

>>> str(promise(Act.ROAD_TEST, car="2012 Toyota Corolla", garage="Osier Street Garage"))[:53]
'Osier Street Garage may drive my 2012 Toyota Corolla '
>>> len(digest(["I say yes."]))
64
"""

from __future__ import annotations

from hashlib import sha256
from typing import TYPE_CHECKING, Final

from shared.say import say
from vehicles.custody.acts import Act

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shared.say import Say

#: What stands above the acts.
OPENING: Final = say(
    "I am named as an owner of this car on a paper that I have shown. I may take back any of these"
    " at any time; what was done until then stays done."
)


def promise(act: Act, *, car: str, garage: str) -> Say:
    """Return the sentence by which an owner says yes to one act."""
    if act is Act.DIAGNOSE:
        return say(
            "{garage} may look at my {car} and take apart what has to be taken apart to find what"
            " is wrong.",
            garage=garage,
            car=car,
        )
    if act is Act.REPAIR:
        return say(
            "{garage} may repair my {car} as it was explained to me. I am asked again before"
            " anything more is done.",
            garage=garage,
            car=car,
        )
    if act is Act.ROAD_TEST:
        return say(
            "{garage} may drive my {car} on public roads to test it, by a driver whom its insurance"
            " covers.",
            garage=garage,
            car=car,
        )
    return say(
        "{garage} may keep my {car} on its lot until I fetch it. The car stays mine.",
        garage=garage,
        car=car,
    )


def digest(lines: Iterable[str]) -> str:
    """Return the SHA-256 of a text's lines, in hex."""
    return sha256("\n".join(lines).encode()).hexdigest()
