"""What a fault model has to keep to beyond its single values.

>>> circle({"fan": ["fuse"], "fuse": ["fan"], "cap": []})
['fan', 'fuse', 'fan']
>>> circle({"fan": ["fuse"], "fuse": []})
[]
"""

from __future__ import annotations

from graphlib import CycleError, TopologicalSorter
from math import ceil, fsum
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.diagnosis.fault_model import Causes, cumulative
from vehicles.diagnosis.reading import TOLERANCE, number

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from vehicles.diagnosis.fault_model import Check, FaultModel
    from vehicles.diagnosis.problem import Mistakes

FAULTS: Final = (6, 25)  # of a shipped model; one of a program's own may have fewer, as below
CHECKS: Final = (8, 30)
FEWEST_FAULTS: Final = 2
FEWEST_CHECKS: Final = 1
LEAST_SHARE: Final = 0.005  # of an outcome in a shipped model
MOST_CAUSING: Final = 6  # with several causes at once: what is computed doubles with each
MOST_BROUGHT: Final = 8  # by one root, for the same reason


def check_model(model: FaultModel, mistakes: Mistakes, *, shipped: bool) -> None:
    """Add what is wrong between the parts of a model that was read."""
    _check_counts(model, mistakes, shipped=shipped)
    _check_titles("faults", [(one.code, one.title) for one in model.faults], mistakes)
    _check_titles("checks", [(one.code, one.title) for one in model.checks], mistakes)
    _check_weights(model, mistakes)
    _check_causes(model, mistakes)
    _check_order(model, mistakes)
    for check in model.checks:
        labels = [(one.code, one.label) for one in check.outcomes]
        _check_titles(f"checks.{check.code}.outcomes", labels, mistakes)
        _check_check(check, mistakes)
        if model.causes is Causes.SEVERAL:
            _check_worst_seen(check, mistakes)
        if shipped:
            _check_floor(check, mistakes)
    if shipped:
        _check_words(model, mistakes)


def circle(before: Mapping[str, Sequence[str]]) -> list[str]:
    """Return one circle, its first name repeated last, each name standing before the next.

    `before` has for each name those that come before it. Empty: there is no circle.
    """
    try:
        TopologicalSorter({name: sorted(before[name]) for name in sorted(before)}).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def _circles(before: Mapping[str, Sequence[str]]) -> Iterator[list[str]]:
    """Yield circles until those left have none in common with them."""
    left = {name: list(names) for name, names in before.items()}
    while found := circle(left):
        yield found
        left[found[1]].remove(found[0])


def _check_counts(model: FaultModel, mistakes: Mistakes, *, shipped: bool) -> None:
    few_faults, few_checks = (FAULTS[0], CHECKS[0]) if shipped else (FEWEST_FAULTS, FEWEST_CHECKS)
    counts = (
        ("faults", len(model.faults), few_faults, FAULTS[1]),
        ("checks", len(model.checks), few_checks, CHECKS[1]),
    )
    for place, count, low, high in counts:
        if not low <= count <= high:
            sentence = say(
                "There are {count}; {low} to {high} are possible.", count=count, low=low, high=high
            )
            mistakes.add(place, sentence)


def _check_titles(place: str, titles: Sequence[tuple[str, str]], mistakes: Mistakes) -> None:
    """Check that a person can tell apart what stands side by side on a page."""
    first: dict[str, str] = {}
    for code, title in titles:
        if title and first.setdefault(title.casefold(), code) != code:
            other = first[title.casefold()]
            sentence = say("“{title}” is also the title of “{other}”.", title=title, other=other)
            mistakes.add(f"{place}.{code}", sentence)


def _check_weights(model: FaultModel, mistakes: Mistakes) -> None:
    for fault in model.faults:
        if (
            fault.weight == 0
            and not fault.caused_by
            and not _has(mistakes, f"faults.{fault.code}.")
        ):
            mistakes.add(
                f"faults.{fault.code}.weight", say("It is 0, and nothing brings this fault about.")
            )
    total = fsum([model.unlisted, *(one.weight for one in model.faults)])
    read = not any(one.where.endswith((".weight", "unlisted")) for one in mistakes.found)
    if model.causes is Causes.ONE and read and abs(total - 1) > TOLERANCE:
        sentence = say("All weights and “unlisted” sum to {total}, not 1.", total=number(total))
        mistakes.add("faults", sentence)


def _check_causes(model: FaultModel, mistakes: Mistakes) -> None:
    """Check what faults bring about each other: no circles, and not too many."""
    for fault in model.faults:
        place = f"faults.{fault.code}.caused_by"
        for cause, strength in fault.caused_by.items():
            if strength == 0 and not _has(mistakes, place):
                mistakes.add(f"{place}.{cause}", say("Leave out what is 0."))
    before = {fault.code: list(fault.caused_by) for fault in model.faults}
    found = list(_circles(before))
    for names in found:
        mistakes.add(f"faults.{names[1]}.caused_by", _chain(names, "brings about"))
    if not found:
        _check_sizes(model, before, mistakes)


def _check_sizes(
    model: FaultModel, before: Mapping[str, Sequence[str]], mistakes: Mistakes
) -> None:
    """Check that what has to be computed stays small."""
    causing = sorted({cause for causes in before.values() for cause in causes})
    if model.causes is Causes.SEVERAL and len(causing) > MOST_CAUSING:
        n, most = len(causing), MOST_CAUSING
        sentence = say("{n} faults bring others about; at most {most} may.", n=n, most=most)
        mistakes.add("faults", sentence)
    for name in causing if model.causes is Causes.ONE else ():
        n, most = len(_brought(name, before)), MOST_BROUGHT
        if n > most:
            sentence = say("It brings {n} others about; at most {most} may be.", n=n, most=most)
            mistakes.add(f"faults.{name}", sentence)


def _brought(name: str, before: Mapping[str, Sequence[str]]) -> set[str]:
    """Return all that one fault brings about, directly or by way of others."""
    found: set[str] = set()
    fresh = {name}
    while fresh:
        fresh = {one for one, causes in before.items() if fresh & set(causes)} - found
        found |= fresh
    return found


def _check_order(model: FaultModel, mistakes: Mistakes) -> None:
    """Check that no checks wait for each other, and none bars itself."""
    for names in _circles(
        {one.code: [two.check for two in one.after if two.check] for one in model.checks}
    ):
        # What comes before is waited for: the circle is read from its end.
        mistakes.add(f"checks.{names[0]}.after", _chain(names[::-1], "waits for"))
    for check in model.checks:
        if any(bar.check == check.code for bar in check.bars if bar.check):
            mistakes.add(f"checks.{check.code}.bars", say("A check does not bar itself."))


def _chain(names: Sequence[str], verb: str) -> Say:
    """Return a circle in words, such as “a” brings about “b”, which brings about “a”."""
    rest = f", which {verb} ".join(f"“{one}”" for one in names[1:])
    return say("{chain}.", chain=f"“{names[0]}” {verb} {rest}")


def _check_check(check: Check, mistakes: Mistakes) -> None:
    place = f"checks.{check.code}"
    if not check.given and not _has(mistakes, f"{place}.given", f"{place}.outcomes"):
        mistakes.add(
            f"{place}.given", say("Name a fault; a check that tells of none is of no use.")
        )
    if check.sound and check.sound[0] == 0:
        mistakes.add(
            f"{place}.sound", say("The first outcome is what a sound car shows; it can’t be 0.")
        )
    if check.asked and check.setups:
        mistakes.add(f"{place}.setups", say("A question to the household needs no setup."))
    for fault, outcomes in check.names.items():
        where = f"{place}.names.{fault}"
        if check.outcomes and check.outcomes[0].code in outcomes:
            mistakes.add(where, say("What a sound car shows proves no fault."))
        if fault not in check.given and not _has(mistakes, f"{place}.given", f"{place}.outcomes"):
            mistakes.add(where, say("“given” does not say how often this fault shows that."))


def _check_worst_seen(check: Check, mistakes: Mistakes) -> None:
    """Check that each row can be a noisy-MAX: its shares over the sound ones never fall.

    Source: Díez 1993, net parameters of the noisy-MAX; from-memory.
    """
    if not check.sound or check.sound[0] == 0:
        return
    leak = cumulative(check.sound)
    for fault, row in check.given.items():
        place = f"checks.{check.code}.given.{fault}"
        if row[0] > leak[0] + TOLERANCE:
            mistakes.add(place, _too_sound(check, row[0], leak[0]))
            continue
        mine = cumulative(row)
        for k in range(1, len(row)):
            least = leak[k] * mine[k - 1] / leak[k - 1] - mine[k - 1]
            if row[k] < least - TOLERANCE:
                mistakes.add(place, _too_rare(check, k, row[k], least))
                break


def _too_sound(check: Check, share: float, most: float) -> Say:
    return say(
        "“{outcome}” is {share}, oftener than on a sound car; it may be at most {most}.",
        outcome=check.outcomes[0].code,
        share=number(share),
        most=number(most),
    )


def _too_rare(check: Check, place: int, share: float, least: float) -> Say:
    """Return that an outcome comes too rarely; the least is rounded up so that it will do."""
    return say(
        "“{outcome}” is {share}; with several causes it has to be at least {least}, since what is"
        " seen is the worst of what the fault and the rest of the car show.",
        outcome=check.outcomes[place].code,
        share=number(share),
        least=number(ceil(least * 1000) / 1000),
    )


def _check_floor(check: Check, mistakes: Mistakes) -> None:
    rows = {"sound": check.sound} | {f"given.{fault}": row for fault, row in check.given.items()}
    for place, row in rows.items():
        if row and min(row) < LEAST_SHARE - TOLERANCE:
            sentence = say(
                "{share} is under {least}; one wrong reading would rule it out for good.",
                share=number(min(row)),
                least=number(LEAST_SHARE),
            )
            mistakes.add(f"checks.{check.code}.{place}", sentence)


def _check_words(model: FaultModel, mistakes: Mistakes) -> None:
    for key, found in (
        ("words", model.words),
        ("words_es", model.words_es),
        ("verify", model.verify),
    ):
        if not found:
            mistakes.add(key, say("A shipped model needs some."))


def _has(mistakes: Mistakes, *places: str) -> bool:
    """Return whether something is known to be wrong there, so that its echo isn't said."""
    return any(one.where.startswith(places) for one in mistakes.found)
