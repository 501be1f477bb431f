"""A fault model as a person reads it: each check with its rows, what bars it, what it proves.

>>> from vehicles.diagnosis.fault_model import Effort
>>> effort_in_words(Effort(minutes=1)), effort_in_words(Effort(minutes=20, cents=1250))
('1 minute', '20 minutes, $12.50')
>>> START.splitlines()[0]
'format = "fault model 1"'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.money import usd
from shared.say import say
from vehicles.diagnosis.revision import hundred
from vehicles.diagnosis.setups import load as load_setups
from vehicles.inspection.catalogue import cautions

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from shared.say import Say
    from vehicles.diagnosis.fault_model import Bar, Check, Effort, FaultModel
    from vehicles.inspection.criteria import Caution

#: What a new model begins with: each place that has to be filled in.
START: Final = """\
format = "fault model 1"
code = ""
version = "1"
title = ""
system = ""
causes = "one"
unlisted = 0.10
words = []
words_es = []
verify = [""]
weights = "practitioner’s judgment, from memory"
sources = []

[specialist]
title = ""
minutes = 30
dollars = "0.00"

[faults.first]
title = ""
system = ""
weight = 0.50
look = { minutes = 10 }
repair = { minutes = 60, dollars = "0.00" }

[faults.second]
title = ""
system = ""
weight = 0.40
look = { minutes = 10 }
repair = { minutes = 60, dollars = "0.00" }

[checks.look]
title = ""
method = ""
minutes = 5
outcomes = { good = "", bad = "" }
sound = [0.95, 0.05]
source = "common practice, no source"
mark = "from-memory"

[checks.look.given]
first = [0.10, 0.90]
"""


@dataclass(frozen=True, kw_only=True)
class Read:
    """One check as the page reads it. `rows` has the shares of each outcome in a hundred."""

    check: Check
    effort: str
    setups: tuple[str, ...]
    cautions: tuple[Caution, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    proofs: tuple[Say, ...]
    minds: tuple[Say, ...]
    codes: tuple[Say, ...]

    @property
    def heads(self) -> tuple[str, ...]:
        """What the check can show, what a sound car shows first."""
        return tuple(one.label for one in self.check.outcomes)


def checks_of(model: FaultModel) -> tuple[Read, ...]:
    """Return the checks of a model in its order."""
    return tuple(_read(model, one) for one in model.checks)


def effort_in_words(effort: Effort) -> str:
    """Return minutes, and dollars where there are some."""
    minutes = "1 minute" if effort.minutes == 1 else f"{effort.minutes} minutes"
    return f"{minutes}, {usd(effort.cents)}" if effort.cents else minutes


def _read(model: FaultModel, check: Check) -> Read:
    setups, known = load_setups(), cautions()
    titles = {one.code: one.title for one in model.faults}
    given = [(titles[code], _row(row)) for code, row in check.given.items()]
    labels = {one.code: one.label for one in check.outcomes}
    return Read(
        check=check,
        effort=effort_in_words(check.effort),
        setups=tuple(setups[code].title for code in check.setups),
        cautions=tuple(known[code] for code in check.cautions),
        rows=(("Sound car", _row(check.sound)), *given),
        proofs=tuple(
            say("“{label}” proves {fault}.", label=labels[outcome], fault=titles[fault])
            for fault, outcomes in check.names.items()
            for outcome in outcomes
        ),
        minds=tuple(_minds(model, check, titles)),
        codes=tuple(
            say("{codes}: “{label}”.", codes=", ".join(codes), label=labels[outcome])
            for outcome, codes in check.codes.items()
        ),
    )


def _minds(model: FaultModel, check: Check, titles: Mapping[str, str]) -> Iterator[Say]:
    """Yield what has to come first, what bars the check, and what it may break."""
    for one in check.after:
        first = model.check(one.check)
        yield say("After “{check}”: {because}", check=first.title, because=one.because)
    for bar in check.bars:
        yield say("Not {when}: {because}", when=_when(model, bar), because=bar.because)
    for damage in check.damages:
        yield say(
            "Costs {money} where it is {fault}: {because}",
            money=usd(damage.cents),
            fault=titles[damage.fault],
            because=damage.because,
        )


def _when(model: FaultModel, bar: Bar) -> Say:
    if bar.fault:
        return say(
            "where {fault} is {share} in 100 or more",
            fault=model.fault(bar.fault).title,
            share=hundred(bar.at),
        )
    seen = model.check(bar.check)
    labels = [seen.outcomes[seen.place(one)].label for one in bar.outcomes]
    return say("once “{check}” shows {labels}", check=seen.title, labels=", ".join(labels))


def _row(shares: tuple[float, ...]) -> tuple[str, ...]:
    return tuple(hundred(one) for one in shares)
