"""The sentences of a case report: how sure, who saw what, by what method, and what figures are not.

>>> sentence("no light in the bay"), sentence("Hose split.")
('No light in the bay.', 'Hose split.')
>>> from datetime import datetime
>>> print(moment(datetime(2026, 11, 30, 0, 5)), moment(datetime(2026, 11, 30, 15, 30)), sep="; ")
Nov 30, 2026, 12:05 AM; Nov 30, 2026, 3:30 PM
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from vehicles.diagnosis.belief import Engine
from vehicles.diagnosis.deciding import MARGIN
from vehicles.diagnosis.explain import label_of, plain_list, shown, unlisted_name
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.kinds import Source, Sureness
from vehicles.diagnosis.likelihood import NEARLY_CERTAIN, RULED_OUT, words_and_figure
from vehicles.diagnosis.looking import Contradicted

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime

    from vehicles.diagnosis.advice import Option
    from vehicles.diagnosis.explain import Case, Ruled
    from vehicles.diagnosis.known import Concluded
    from vehicles.diagnosis.values import Step

#: The last word is never the figure's.
NOTE: Final = (
    "This report supports a decision and makes none. A licensed or certified technician who has "
    "seen the car, and local law, decide what is repaired and whether the car may be driven."
)
NO_PROOF: Final = "Physical proof: none is recorded; nothing that was seen names the part itself."
RARE: Final = "rare from the start; nothing seen spoke for it"
AVERAGE: Final = (
    "These are averages over cars on which the same was seen, not an estimate for this one."
)
NONE_RULED_OUT: Final = "Nothing is ruled out by figures."
CLASHING: Final = "Nothing is ruled out by figures, since no cause explains all that was recorded."
SETTLED: Final = "No listed fault is left open."
NO_COSTS: Final = (
    "What stopping or looking further would cost can’t be said while the observations contradict "
    "each other. One of them is looked at again first."
)
WHAT_THEY_ARE_NOT: Final = (
    "They are no measurement of this car and no share of wrong conclusions of this garage. They "
    "prove no part bad; only what was seen on the part itself does. They hold for this list of "
    "causes, these weights and what is recorded above, and change with any of them; a wrong "
    "reading makes them wrong. They do not say who is at fault, what a repair will cost in the "
    "end, or that no other fault is there."
)
CHECK_LEFT: Final = "A check left out may still show something else."

# A kept figure is rounded to thousandths, so it never says that something is certain.
_HALF: Final = 0.0005

_ENGINES: Final = {
    Engine.ROOTS: "each possible root cause was gone through with all that it may bring about",
    Engine.EXPLAINED: "every combination of faults that explains what was seen is in the sum",
    Engine.ELIMINATION: "every combination of faults is in the sum, by variable elimination",
}
_ONE: Final = "One root cause is assumed, with what it brings about, or a cause that is not listed."
_SEVERAL: Final = "Several faults at once are allowed."


def headline(case: Case) -> Iterator[str]:
    """Yield what the report says first: what was concluded, or that nothing was."""
    for one in case.record.concluded:
        root = f" Brought about by: {one.root}." if one.root else ""
        yield f"Concluded: {one.title}. {how_sure(case, one)}{root}"
    if isinstance(case.found, Contradicted):
        yield f"What was seen contradicts itself. {case.found.sentence}"
    elif not case.record.concluded:
        yield f"Nothing is concluded. {case.found.conclusion.sentence}"


def how_sure(case: Case, one: Concluded) -> str:
    """Return how sure a conclusion was when it was signed, in words and then figures."""
    sure = words_and_figure(min(max(one.p, _HALF), 1 - _HALF))
    if one.sureness is Sureness.CONFIRMED:
        return f"Confirmed: {sure}, when it was signed."
    if not one.p and case.looking is None:
        return "Set by a person; no figure could be computed."
    return f"Set by a person against the figures, which then said: {sure}."


def seen_by(step: Step) -> str:
    """Return who recorded an observation, from what source, and when."""
    how = {
        Source.ASKED: "Said by the household, noted by",
        Source.CODES: "From the trouble codes, by",
    }.get(Source(step.source), "Seen by")
    when = f", {moment(step.at)}" if step.at else ""
    return f"{how if step.is_seen else 'Recorded by'} {step.seen_by}{when}."


def taken_back(case: Case, step: Step, until: datetime) -> str:
    """Return an observation that no longer counts, with when that was."""
    check = case.session.model.check(step.check)
    what = label_of(check, step.outcome) if step.is_seen else f"not done, {step.could_not}"
    note = f" {sentence(step.note)}" if step.note else ""
    return f"Taken back {moment(until)}: {check.title}: {sentence(what)} {seen_by(step)}{note}"


def what_of(case: Case, option: Option) -> str:
    """Return why a check that is left would be done or not."""
    if option.barred:
        return f"Not now: {option.barred[0]}"
    if option.first:
        return f"First: {case.session.model.check(option.first[0].check).title}."
    if option.saving.is_worth(MARGIN):
        return "Pays for itself."
    return "Saves too little." if option.saving.total > 0 else "Costs more than it saves."


def method(case: Case) -> str:
    """Return the method as one paragraph."""
    text, session = case.record.text, case.session
    engine = case.looking.belief.engine if case.looking else None
    exact = f": {_ENGINES[engine]}" if engine else ""
    several = session.model.causes is Causes.SEVERAL
    return (
        f"The possible causes, how often each is behind this complaint, and how often each check "
        f"shows what with each cause were written down before this car came: fault model "
        f"“{text.title}”, version {text.version}, {lower(text.origin)}; SHA-256 of its text: "
        f"{text.sha256}. {weights(case)} Each observation was then weighed by Bayes’ rule: the "
        f"odds of a cause are multiplied by how many times likelier that observation is with it "
        f"than without it. {_SEVERAL if several else _ONE} Once the causes are given, checks count "
        f"as independent of each other. Where several causes act on one check, the worst result "
        f"that any of them gives is taken to show (noisy-MAX; Henrion 1989, Díez 1993). The sums "
        f"are exact, without sampling{exact}. “Confirmed” takes {_hundred(NEARLY_CERTAIN)} in 100 "
        f"or more and something seen on the part itself; “ruled out” is {_hundred(RULED_OUT)} in "
        f"100 or less. These two lines are this program’s own choice, not a standard."
    )


def weights(case: Case) -> str:
    """Return where the weights come from."""
    session = case.session
    known = f"Its weights: {session.model.weights}"
    if not session.cars:
        return f"{known}. No car of this garage is in them."
    cars = "1 car" if session.cars == 1 else f"{session.cars} cars"
    return f"{known}, with what {cars} of this garage taught whose repair held."


def left_out(case: Case) -> str:
    """Return the checks that nobody recorded anything about; empty where there is none."""
    session = case.session
    titles = [one.title for one in session.model.checks if session.step(one.code) is None]
    return f"Not done ({len(titles)}): {'; '.join(titles)}. {CHECK_LEFT}" if titles else ""


def observed(case: Case, step: Step) -> str:
    """Return what a check showed as a sentence, or why it could not be done."""
    done = "" if step.is_seen else "Could not be done: "
    return f"{done}{sentence(shown(case.session, step), start=step.is_seen)}"


def moment(at: datetime) -> str:
    """Return a day and time as a page writes it, on one line."""
    text = f"{at:%b} {at.day}, {at.year}, {at.hour % 12 or 12}:{at:%M %p}"
    return text.replace(" ", "\u00a0")


def by_what(ruled: Ruled) -> str:
    """Return the observations that ruled a fault out: the strongest in words, others by number."""
    if not ruled.by:
        return RARE
    first, *others = ruled.by
    also = [f"{one.number}\u00a0({one.factor})" for one in others]
    more = f"; also {plain_list(also)}" if also else ""
    return f"{first.number}, {first.seen} ({first.factor}){more}"


def still_open(case: Case) -> Iterator[str]:
    """Yield what is not settled, in sentences: causes to look for, a clash, faults left open."""
    found = case.looking
    if found is None:
        return
    for chain in found.conclusion.chains:
        if chain.look_for:
            yield str(chain.sentences[-1])
    if found.clash:
        yield str(found.clash.sentence)
    yield from (str(one.sentence) for one in case.unsettled)
    if not case.unsettled:
        yield SETTLED
    sure = words_and_figure(found.belief.unlisted)
    yield f"{sentence(unlisted_name(case.session))[:-1]}: {sure}."


def sentence(text: str, *, start: bool = True) -> str:
    """Return words that people typed with a capital and a full stop."""
    text = text.strip()
    head = text[:1].upper() if start else text[:1]
    return f"{head}{text[1:]}" if text.endswith((".", "!", "?", "…")) else f"{head}{text[1:]}."


def lower(text: str) -> str:
    """Return a label as it stands inside a sentence."""
    return f"{text[:1].lower()}{text[1:]}"


def _hundred(share: float) -> int:
    return round(share * 100)
