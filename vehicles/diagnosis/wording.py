"""Sentences of a diagnosis that are kept or shown: what was seen, and what a fault rests on.

>>> in_short("Coolant level, cold", "Low")
'coolant level, cold: low'
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from vehicles.diagnosis.evidence import moves
from vehicles.diagnosis.inference import Contradiction, Reasoner

if TYPE_CHECKING:
    from vehicles.diagnosis.values import Session

MOST_NAMED: Final = 4
LONGEST: Final = 500  # of what a conclusion keeps


def in_short(title: str, label: str) -> str:
    """Return a check and what it showed, as a part of a sentence."""
    return f"{small(title)}: {small(label)}"


def evidence_of(session: Session, fault: str) -> str:
    """Return what speaks most for a fault, the strongest first; empty where nothing was seen."""
    model, observed = session.model, session.observed
    try:
        found = moves(Reasoner(model), observed, fault)
    except Contradiction:
        found = ()
    named = []
    for one in [each for each in found if each.ratio > 1][:MOST_NAMED]:
        check = model.check(one.check)
        label = check.outcomes[check.place(one.outcome)].label
        named.append(in_short(check.title, label))
    while len("; ".join(named)) >= LONGEST:
        named.pop()
    text = "; ".join(named)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def small(text: str) -> str:
    """Return words as they stand inside a sentence; initials stay as they are."""
    return text if text[:2].isupper() else text[:1].lower() + text[1:]
