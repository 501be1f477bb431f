"""What trouble codes tell a diagnosis: how urgent they are, and which checks they answer.

>>> print(first_words(["P0420"], Signs())[1])
Battery first: its state is unknown.
>>> urgency(Severity.FIX, Signs(lamp=Lamp.FLASHING))
<Severity.STOP: 'stop-driving'>

A code never proves that a part is bad: it stands for one outcome of one check, no more.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.codes.kinds import Lamp
from vehicles.diagnosis.trouble_codes import POINTER, POINTS, Severity, decode
from vehicles.inspection.units import show

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from vehicles.diagnosis.fault_model import Check, FaultModel

#: A battery at rest below this is charged before codes are believed; common practice, no source.
WEAK_VOLTS: Final = Fraction("12.4")
#: Codes that a weak battery sets by itself more than others; common practice, no source.
BATTERY_FIRST: Final = ("P0562", "U0100", "U0101")


@dataclass(frozen=True, kw_only=True)
class Signs:
    """What was seen of the car while its codes were read; volts of the battery at rest, or None."""

    lamp: Lamp = Lamp.UNKNOWN
    smoke: bool = False
    fuel_smell: bool = False
    overheating: bool = False
    brakes_lost: bool = False
    steering_lost: bool = False
    battery_volts: Fraction | None = None

    @property
    def danger(self) -> tuple[Say, ...]:
        """The signs that raise every code's severity by one step."""
        there = (
            (self.lamp == Lamp.FLASHING, say("the check-engine lamp flashes")),
            (self.smoke, say("smoke")),
            (self.fuel_smell, say("smell of fuel")),
            (self.overheating, say("overheating")),
            (self.brakes_lost, say("loss of braking")),
            (self.steering_lost, say("loss of steering")),
        )
        return tuple(words for seen, words in there if seen)

    @property
    def battery_known_good(self) -> bool:
        """Whether the battery was measured, and is not weak."""
        return self.battery_volts is not None and self.battery_volts >= WEAK_VOLTS


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


def urgency(severity: Severity | None, signs: Signs) -> Severity | None:
    """Return the severity with the signs counted: one step worse where there is any of them.

    A code that no table knows has none; with a sign of danger it is fixed before return (ours).
    """
    if not signs.danger:
        return severity
    return Severity.FIX if severity is None else severity.raised


def first_words(codes: Iterable[str], signs: Signs) -> tuple[Say, ...]:
    """Return what is said over a list of codes before any of them is believed."""
    plain = {decode(code).code for code in codes}
    if not plain:
        return ()
    said = [
        say(
            "Write down the codes and the freeze frame before anybody clears them: "
            "clearing also resets the readiness monitors."
        )
    ]
    if not signs.battery_known_good:
        said += _about_battery(plain, signs.battery_volts)
    if POINTER in plain:
        said.append(POINTS)
    if signs.danger:
        said.append(say("Every code counts one step worse: {signs}.", signs=_listed(signs.danger)))
    return tuple(said)


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


def _about_battery(codes: set[str], volts: Fraction | None) -> list[Say]:
    """Return why the codes have to wait for the battery."""
    first = (
        say("Battery first: its state is unknown.")
        if volts is None
        else say("Battery first: {volts} at rest is weak.", volts=show(volts, "V"))
    )
    why = say("Codes set on a weak battery are believed after it is charged and they return.")
    suspects = [code for code in BATTERY_FIRST if code in codes]
    if not suspects:
        return [first, why]
    most = say("This goes most of all for {codes}.", codes=", ".join(suspects))
    return [first, why, most]


def _listed(words: Sequence[Say]) -> Say:
    """Return the words with commas between them, each still to be translated."""
    if len(words) == 1:
        return words[0]
    return say("{first}, {rest}", first=words[0], rest=_listed(words[1:]))
