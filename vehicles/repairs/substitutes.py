"""What may stand in for a new part: rebuilt, used, or neither, and why.

>>> [str(one.fit.answer) for one in verdicts("alternator", System.CHARGING)]
['fits', 'fits', 'fits']
>>> str(verdict("brake_hose", System.BRAKES, PartCondition.USED).fit.reason)
'A used or rebuilt brake hose, line, seal or pipe is not taken: what ages in it can’t be seen.'

Program policy and common practice, no source, unless a rule names one. It only ever says no or ask:
that a part fits the car is another question (`fitment`), and before fitting it is held against the
old one. The maker's instructions and local law go first.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.problems import Problem
from shared.say import Say, say
from vehicles.repairs.parts import PartCondition
from vehicles.repairs.specifications import words
from vehicles.repairs.suitability import STRICT, Answer, Fit, ask, no, yes
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from vehicles.repairs.parts import Part

POLICY: Final = say("program policy; common practice, no source")


@dataclass(frozen=True, kw_only=True)
class Rule:
    """Why parts of some kinds are taken rebuilt or used, are looked at first, or are not taken.

    A kind is held by its words: `pads` is in `brake_pads`; with `whole` it is one of `kinds`.
    `kinds` and `systems` that are empty hold every one.
    """

    rebuilt: Answer
    used: Answer
    because: Say
    kinds: frozenset[str] = frozenset()
    systems: frozenset[System] = frozenset()
    source: Say = POLICY
    whole: bool = False

    def holds(self, kind: str, system: System) -> bool:
        """Return whether the rule is about such a part."""
        code = "_".join(kind.casefold().split())
        said = {code} if self.whole else {code, *words(code.replace("_", " "))}
        named = not self.kinds or bool(self.kinds & said)
        return named and (not self.systems or system in self.systems)


_YES, _ASK, _NO = Answer.FITS, Answer.ASK, Answer.DOES_NOT_FIT


def _rule(rebuilt: Answer, used: Answer, because: Say, kinds: str = "", *systems: System) -> Rule:
    return Rule(
        rebuilt=rebuilt,
        used=used,
        because=because,
        kinds=frozenset(kinds.split()),
        systems=frozenset(systems),
    )


#: The first rule that holds a part decides.
RULES: Final = (
    _rule(_NO, _NO, say("A used part of belts or airbags is not taken."), "", System.RESTRAINT),
    _rule(
        _NO, _NO, say("A used brake pad, shoe or lining is not taken."), "pad pads lining linings"
    ),
    _rule(_YES, _NO, say("A used brake pad, shoe or lining is not taken."), "shoe shoes"),
    _rule(
        _NO,
        _NO,
        say(
            "A used or rebuilt brake hose, line, seal or pipe is not taken: what ages in it can’t "
            "be seen."
        ),
        "brake_hose brake_line brake_booster_hose brake_caliper_seal brake_fluid brake_hardware "
        "brake_line_clip",
    ),
    _rule(
        _YES,
        _NO,
        say("A used brake cylinder is not taken: its seals can’t be seen. A rebuilt one is."),
        "master_cylinder wheel_cylinder",
    ),
    _rule(
        _NO,
        _NO,
        say("A used ball joint or tie rod is not taken: its wear is inside."),
        "ball_joint tie_rod_end tie_rod_inner ball_joint_boot tie_rod_boot rack_boot",
    ),
    Rule(
        rebuilt=_NO,
        used=_ASK,
        because=say("It is used: measure its tread and read its date code."),
        kinds=frozenset({"tire", "tires"}),
        whole=True,
    ),
    Rule(
        rebuilt=_NO,
        used=_ASK,
        because=say("It is used: read its date code and test it under load."),
        kinds=frozenset({"battery"}),
        whole=True,
    ),
    Rule(
        rebuilt=_NO,
        used=_NO,
        because=say("A used catalytic converter is sold only tested and labeled; none is taken."),
        kinds=frozenset({"catalytic_converter", "diesel_filter"}),
        source=say("EPA policy on catalysts, 51 FR 28114; text not seen"),
    ),
    _rule(
        _NO,
        _NO,
        say("It is worn by use, or seals only once: a new one is taken."),
        "belt timing_belt_kit timing_chain hose gasket gasket_set seal filter spark_plugs oil "
        "fluid coolant wiper_blades bulb cotter_pin fuse wheel_nut wheel_stud belt_bolt seat_bolt "
        "shaft_bolt axle_nut clutch_kit water_pump thermostat radiator_cap fuel_line fuel_pump "
        "tire_patch valve_stem",
    ),
    _rule(
        _YES,
        _ASK,
        say("It is used: look it over for wear and hold it against the old part."),
        "",
        *STRICT,
    ),
)
_FREE: Final = Rule(
    rebuilt=_YES, used=_YES, because=say("Used and rebuilt ones are taken, once they are tested.")
)


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """Whether a part may be of a condition, why, and where the rule is from."""

    condition: PartCondition
    fit: Fit
    source: Say


def verdict(kind: str, system: System, condition: PartCondition) -> Verdict:
    """Return whether such a part may be new, rebuilt or used."""
    rule = next((one for one in RULES if one.holds(kind, system)), _FREE)
    if condition is PartCondition.NEW:
        return Verdict(condition=condition, fit=yes(say("A new one is taken.")), source=POLICY)
    answer = rule.rebuilt if condition is PartCondition.REBUILT else rule.used
    said = {Answer.FITS: yes, Answer.ASK: ask, Answer.DOES_NOT_FIT: no}[answer]
    reason = rule.because
    if answer is Answer.FITS and rule is not _FREE:
        reason = say("A rebuilt one is taken.")
    elif (
        answer is Answer.DOES_NOT_FIT
        and condition is PartCondition.REBUILT
        and rule.used is not answer
    ):
        reason = say("No rebuilt one is taken.")
    return Verdict(condition=condition, fit=said(reason), source=rule.source)


def verdicts(kind: str, system: System) -> tuple[Verdict, ...]:
    """Return the three verdicts of a part: new, rebuilt, used."""
    return tuple(verdict(kind, system, condition) for condition in PartCondition)


def wear(part: Part) -> Iterator[Fit]:
    """Yield what stands against a used part; nothing for a new one."""
    if part.used:
        fit = verdict(part.kind, part.system, PartCondition.USED).fit
        if fit.answer is not Answer.FITS:
            yield fit


def check(kind: str, system: System, may_be: Collection[str]) -> list[Problem]:
    """Return why a need can't take these conditions; nothing when all of them are possible."""
    known = {condition.value for condition in PartCondition}
    found = [
        Problem(say("“{typed}” is no condition of a part.", typed=one), where="may_be")
        for one in sorted(set(may_be) - known)
    ]
    found += [
        Problem(one.fit.reason, where="may_be")
        for one in verdicts(kind, system)
        if one.condition in may_be and one.fit.answer is Answer.DOES_NOT_FIT
    ]
    return found
