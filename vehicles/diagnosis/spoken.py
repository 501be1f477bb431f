"""Which checks of a fault model trouble codes answer.

>>> from vehicles.diagnosis.complaints import load
>>> print(speaks_to(["P0217"], load().values())["overheats"][0].sentence)
P0217: “Engine over-temperature” at “Codes stored”.

A code never proves that a part is bad: it stands for one outcome of one check, no more.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shared.say import Say, say
from vehicles.codes.trouble_codes import decode

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from vehicles.diagnosis.fault_model import Check, FaultModel
    from vehicles.diagnosis.values import Step


@dataclass(frozen=True, kw_only=True)
class Spoken:
    """What codes say of one check of one model.

    `offered`: no code speaks, but a full scan was done, so a person may take the sound outcome; it
    is never taken by itself. `pending`: every code that speaks for the outcome is only pending.
    `against` are outcomes that other codes speak for, each with its codes.
    """

    check: str
    outcome: str
    codes: tuple[str, ...]
    offered: bool
    pending: bool
    against: tuple[tuple[str, tuple[str, ...]], ...]
    sentence: Say


@dataclass(frozen=True, kw_only=True)
class ToldCheck:
    """What the codes say of a check of a diagnosis, and what stands beside it there.

    `step` is what is recorded of it already; `against` what has to be seen before it, or bars it.
    """

    spoken: Spoken
    step: Step | None
    recorded: str
    against: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Told:
    """What the codes of a stay say for one diagnosis; `scan` is the newest reading that counts."""

    scan: int
    weak: bool
    words: tuple[Say, ...]
    rows: tuple[ToldCheck, ...]

    def row(self, check: str) -> ToldCheck | None:
        """Return what is said of a check, or None."""
        return next((one for one in self.rows if one.spoken.check == check), None)

    @property
    def open(self) -> tuple[ToldCheck, ...]:
        """What may be taken over: nothing is recorded there."""
        return tuple(one for one in self.rows if not one.step)

    @property
    def ticked(self) -> tuple[str, ...]:
        """The checks to offer as taken: a stored code says it, and not a pending one alone."""
        return tuple(
            one.spoken.check
            for one in self.open
            if not one.spoken.offered and not one.spoken.pending
        )


def reasons(codes: Sequence[str], models: Mapping[str, FaultModel]) -> dict[str, Say]:
    """Return why codes make complaints worth a look, by complaint, the nearest first.

    Nearest is a complaint that has most of the codes among its own words, then one to whose checks
    most of them speak; ties in the order of the models.
    """
    found = speaks_to(codes, models.values())
    heard = {
        model: tuple(dict.fromkeys(code for one in said for code in _codes_of(one)))
        for model, said in found.items()
    }
    own = {model: sum(code[:5] in models[model].words for code in heard[model]) for model in heard}
    ranked = sorted(heard, key=lambda model: (-own[model], -len(heard[model])))
    return {model: _reason(heard[model]) for model in ranked}


def merged(hits: Iterable[str], told: Iterable[str], models: Iterable[str]) -> list[str]:
    """Return complaints by their places among what the words hit and what codes speak to.

    Of equals the one that the words hit comes first; the rest follow in the order of the models.

    Source: reciprocal rank fusion (Cormack, Clarke, Büttcher, 2009, from memory), with no constant.
    """
    score: dict[str, float] = {}
    for ranked in (hits, told):
        for place, code in enumerate(ranked, start=1):
            score[code] = score.get(code, 0.0) + 1 / place
    known = dict.fromkeys([*score, *models])
    return sorted(known, key=lambda code: -score.get(code, 0.0))


def _codes_of(one: Spoken) -> tuple[str, ...]:
    return (*one.codes, *(code for _, codes in one.against for code in codes))


def _reason(codes: Sequence[str]) -> Say:
    if len(codes) == 1:
        return say("{code} speaks to it.", code=codes[0])
    return say("{codes} speak to it.", codes=", ".join(codes))


def speaks_to(
    codes: Iterable[str],
    models: Iterable[FaultModel],
    *,
    full_scan: bool = False,
    pending: Collection[str] = (),
) -> dict[str, tuple[Spoken, ...]]:
    """Return by model code what the codes say of its checks, in the order of the checks.

    `codes` may have a failure type; a model's code without one is met by any. `pending` are those
    of `codes` that are only pending. Models to which the codes say nothing are left out.
    """
    ordered = tuple(dict.fromkeys(decode(code).full for code in codes))
    only = frozenset(decode(code).full for code in pending)
    found = {}
    for model in models:
        spoken = (_spoken(check, ordered, only, full_scan=full_scan) for check in model.checks)
        said = tuple(one for one in spoken if one)
        if said:
            found[model.code] = said
    return found


def _spoken(
    check: Check, codes: Sequence[str], pending: frozenset[str], *, full_scan: bool
) -> Spoken | None:
    """Return what the codes say of a check: the worst outcome that any speaks for."""
    heard = {
        one.code: said
        for one in reversed(check.outcomes)
        if (said := _heard(codes, check.codes.get(one.code, ())))
    }
    if not heard:
        return _offer(check) if full_scan and check.codes else None
    worst, *others = heard.items()
    outcome, spoken_by = worst
    return Spoken(
        check=check.code,
        outcome=outcome,
        codes=spoken_by,
        offered=False,
        pending=pending.issuperset(spoken_by),
        against=tuple(others),
        sentence=_sentence(
            check, outcome, spoken_by, [code for _, said in others for code in said]
        ),
    )


def _heard(codes: Sequence[str], wanted: Collection[str]) -> tuple[str, ...]:
    return tuple(code for code in codes if code in wanted or code[:5] in wanted)


def _offer(check: Check) -> Spoken:
    sound = check.outcomes[0]
    return Spoken(
        check=check.code,
        outcome=sound.code,
        codes=(),
        offered=True,
        pending=False,
        against=(),
        sentence=say(
            "All modules were read and no code speaks against “{outcome}” at “{check}”. Take it "
            "only if no codes were cleared and the battery was not off since the complaint began.",
            outcome=sound.label,
            check=check.title,
        ),
    )


def _sentence(check: Check, outcome: str, codes: Sequence[str], against: Sequence[str]) -> Say:
    label = check.outcomes[check.place(outcome)].label
    if against:
        return say(
            "{codes}: “{outcome}” at “{check}”. {against} says less; the worse one counts.",
            codes=", ".join(codes),
            outcome=label,
            check=check.title,
            against=", ".join(dict.fromkeys(against)),
        )
    return say(
        "{codes}: “{outcome}” at “{check}”.",
        codes=", ".join(codes),
        outcome=label,
        check=check.title,
    )
