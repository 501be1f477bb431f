"""The report in the words of its readers: what to do first, what each class means, what follows.

>>> str(plain_class(DeficiencyClass.MAJOR))
'Serious'
>>> speak(say("{text}.", text="Horn does not work"), spanish())
'El claxon no funciona.'
"""

from __future__ import annotations

import re
from functools import lru_cache
from itertools import groupby
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from shared.dates import full_date
from shared.say import Say, say
from vehicles.inspection.catalogue import FOLDER
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.judge import judge
from vehicles.inspection.rows import rows_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from datetime import date
    from pathlib import Path

    from vehicles.inspection.criteria import Criterion
    from vehicles.inspection.values import Looked, Regraded, Report, Skipped, Wrong

NOTE: Final = say(
    "This paper supports decisions. Local inspection law and a licensed or certified technician"
    " decide whether the car may be driven."
)
SOURCES: Final = say(
    "The limits come from federal and European inspection rules and from the maker. The garage's"
    " own report names each source; ask to see it."
)
UNREAD: Final = say("Unread is never good: nobody knows whether those points are in order.")

#: The usual cautions for people who live with the car. Common practice, no source.
MIND: Final = (
    say(
        "If the brakes, the steering, a sound or a smell changes on the way, stop at a safe place"
        " and call for help."
    ),
    say("Never go under a car that stands on a jack alone."),
)
STAYS: Final = say("Leave the car where it is. If it has to be moved, it is towed.")
FUMES: Final = say(
    "If you smell fuel or exhaust in the car, do not start it, keep flames away and get out of it."
)
STRANDS: Final = say("It may leave you standing on the road.")

#: What follows, without a promise.
NEXT: Final = (
    say("The garage goes through this paper with you and answers your questions."),
    say(
        "The garage looks at which repairs its money, parts and hours allow. This paper promises"
        " no repair and no day."
    ),
    say("Nothing is repaired without your yes."),
)

_CLASSES: Final = {
    DeficiencyClass.DANGEROUS: say("Dangerous"),
    DeficiencyClass.MAJOR: say("Serious"),
    DeficiencyClass.MINOR: say("Small"),
    DeficiencyClass.NONE: say("To know"),
}


def plain_class(deficiency: DeficiencyClass) -> Say:
    """Return the class as a household reads it."""
    return _CLASSES[deficiency]


def first_line(report: Report) -> tuple[Say, Say]:
    """Return what to do with the car now, and why or what to do soon."""
    wrong = report.open
    classes = {one.deficiency for one in wrong}
    cases = (
        (any(one.grounds for one in wrong), _GROUNDED),
        (not report.read and not wrong, _UNKNOWN),
        (DeficiencyClass.MAJOR in classes, _FAILS),
        (any(one.strands for one in wrong), _STRANDS),
        (DeficiencyClass.MINOR in classes, _SMALL),
        (report.left > 0, _SO_FAR),
    )
    return next((lines for holds, lines in cases if holds), _GOOD)


_GROUNDED: Final = (say("Do not drive this car."), STAYS)
_UNKNOWN: Final = (
    say("This car has not been inspected yet."),
    say("Nothing is known about it. Do not take that as a good sign."),
)
_FAILS: Final = (
    say("Drive this car no further than the repair asks."),
    say("It would fail an inspection as it is."),
)
_STRANDS: Final = (
    say("This car may stop on the road."),
    say("Have it repaired before you rely on it."),
)
_SMALL: Final = (
    say("The car may be driven."),
    say("Have the small things below put right soon."),
)
_SO_FAR: Final = (
    say("Nothing wrong was found so far."),
    say("Not everything has been looked at yet."),
)
_GOOD: Final = (
    say("The car may be driven."),
    say("Everything we looked at was in order."),
)


def cautions_for(report: Report) -> tuple[Say, ...]:
    """Return what the household minds with these findings."""
    systems = {one.system for one in report.open}
    fumes = (FUMES,) if systems & {"fuel", "exhaust"} else ()
    return (*fumes, *MIND)


def retold(
    criterion: Criterion | None, *, typed: str, unit: str, reason_key: str, stored: str
) -> Say:
    """Return a stored sentence so that it can be said in another language.

    It is judged again from what was typed; where the catalogue has changed since, and says
    something else now, the text of the reason stands for it, and else the sentence as it is.
    Without a reading it is a title, known in Spanish where the title is, or what somebody wrote.
    """
    if criterion is None:
        return _titled(stored)
    try:
        again = judge(criterion, typed, unit).sentence
    except ValueError:
        again = say("{text}", text="")
    if str(again) == stored:
        return again
    texts = [one.text for one in criterion.reasons if one.key == reason_key]
    return say("{text}.", text=texts[0]) if texts else say("{text}", text=stored)


def _titled(stored: str) -> Say:
    if not stored.endswith("."):
        return say("{text}", text=stored)
    fault = stored.removeprefix("Diagnosed: ").removesuffix(".")
    if stored.startswith("Diagnosed: "):
        return say("Diagnosed: {fault}.", fault=fault)
    return say("{text}.", text=fault)


@lru_cache
def spanish(folder: Path = FOLDER) -> Mapping[str, str]:
    """Return the catalogue's own words in Spanish by their English text.

    Raises:
        ValueError: the file is damaged, or a text stands in it twice with two meanings.
    """
    found: dict[str, str] = {}
    for where, row in rows_of(folder / "es.csv"):
        if found.setdefault(row["english"], row["spanish"]) != row["spanish"]:
            raise ValueError(f"{where}: “{row['english']}” stands there twice.")
    return MappingProxyType(found)


def speak(
    sentence: Say | str,
    words: Mapping[str, str],
    translate: Callable[[str], str] = str,
) -> str:
    """Return a sentence in the language of `words`, which has the catalogue's own texts.

    `translate` maps the msgid of a sentence to its text. Without `words` it stays English.
    """
    if isinstance(sentence, str):
        return words.get(sentence) or (_in_units(sentence) if words else sentence)
    values = {
        name: speak(value, words, translate) if isinstance(value, Say | str) else value
        for name, value in sentence.values
    }
    return translate(sentence.msgid).format(**values)


_NUMBER: Final = re.compile(r"^[-−\d]")
_UNITS: Final = {
    " in": " pulg",
    " ft": " pies",
    " years": " años",
    " cycles": " ciclos",
    " monitors": " monitores",
    " a minute": " por minuto",
    " to ": " a ",
}
_UNIT: Final = re.compile(
    "|".join(rf"{word}(?!\w)" if word[-1] != " " else word for word in _UNITS)
)


def _in_units(text: str) -> str:
    """Return a number with its unit as Spanish writes it; other text as it is."""
    return _UNIT.sub(lambda hit: _UNITS[hit.group()], text) if _NUMBER.match(text) else text


# ---- for the file ----


def span(begun: date, ended: date | None) -> str:
    """Return when a sheet was read, in words."""
    first = full_date(begun)
    if ended is None:
        return f"begun {first}, goes on"
    return first if begun == ended else f"{first} to {full_date(ended)}"


def looked(one: Looked) -> str:
    """Return one sheet in a line: how deep, when, by whom, and what it left unread."""
    text = f"{one.depth}: {span(one.begun_on, one.ended_on)}, {one.by}."
    if one.unread is not None:
        text += f" {_points(one.unread)} left unread." if one.unread else " Nothing left unread."
    return f"{text} Ended early: {one.stopped_because}" if one.stopped_because else text


def _points(count: int) -> str:
    return "1 point" if count == 1 else f"{count} points"


def counted(report: Report) -> str:
    """Return how many are open by class, the worst first."""
    counted = groupby(sorted(report.open, key=lambda one: -one.deficiency.rank), class_word)
    said = [f"{len(list(some))} {name}" for name, some in counted]
    return ", ".join(said) or "none open"


def class_word(one: Wrong) -> str:
    """Return the class as the file names it."""
    return one.deficiency.value if one.deficiency.rank else "without a class"


def grounds(one: Wrong) -> Iterator[str]:
    """Yield what a finding rests on, each fact by itself."""
    eu = one.eu_class.value if one.eu_class else "not named"
    us = "reject" if one.us_reject else "no reject"
    yield f"EU class: {eu}. 49 CFR 570: {us}."
    if one.limit:
        shipped = f" The catalogue's own: {one.shipped_limit}." if one.shipped_limit else ""
        because = f" Local limit: {one.limit_because}" if one.limit_because else ""
        yield f"Limit: {one.limit}.{because}{shipped}"
    if one.source:
        yield f"{one.source}; {seen(text_seen=one.text_seen)}."
    yield f"{one.by}, {full_date(one.on)}."
    if one.evidence:
        yield f"Seen: {one.evidence}"
    if one.caused_by:
        yield f"Caused by: {one.caused_by}"


def seen(*, text_seen: bool) -> str:
    """Return whether the text of a source was read."""
    return "text seen" if text_seen else "from memory, text not seen"


def regraded(row: Regraded) -> str:
    """Return who set the class, why, and who agreed or refused."""
    text = f"Class set from {row.was} to {row.becomes} by {row.by}: {row.because}"
    if row.waits:
        return f"{text} It waits for a second person; {row.was} stands."
    if row.refused_because:
        return f"{text} Refused by {row.second or 'nobody'}: {row.refused_because}"
    return f"{text} Second person: {row.second}." if row.second else text


def skipped(one: Skipped) -> str:
    """Return a point with the places that were not read."""
    return f"{one.title} ({', '.join(one.places)})" if one.places else one.title
