"""Small fault models for tests of the whole room; each default is valid, a test passes the rest."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from vehicles.diagnosis.fault_model import (
    BAD,
    GOOD,
    Causes,
    Check,
    Effort,
    Fault,
    FaultModel,
    Outcome,
    Specialist,
)
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Sequence

#: The file of a program's own model: as small as may be, and with each kind of key.
A_FILE = """\
format = "fault model 1"
code = "hot"
version = "1"
title = "Engine runs hot"
system = "cooling"
causes = "one"
unlisted = 0.1
words = ["runs hot"]
words_es = ["se calienta"]
verify = ["Look at the gauge."]
sources = ["a shop manual, text-seen"]

[specialist]
title = "Cooling specialist"
minutes = 30
dollars = "450.00"

[faults.hose]
title = "Hose leaks"
system = "cooling"
weight = 0.6
operation = "tire-patch"
repair = { minutes = 45 }
look = { minutes = 5 }
strands = true

[faults.gasket]
title = "Head gasket leaks"
system = "engine"
weight = 0.3
caused_by = { hose = 0.2 }
repair = { minutes = 600, dollars = "420.00" }
deficiency = "dangerous"
severity = 2
never_release = true
note = "Rarely alone."

[checks.level]
title = "Coolant level, cold"
method = "Read the tank against its marks."
minutes = 3
setups = ["cold"]
cautions = ["hot-fluids"]
caution = "Never open a hot cap."
outcomes = { normal = "At its mark", low = "Low", empty = "Not in sight" }
sound = [0.90, 0.08, 0.02]
source = "common practice, no source"
mark = "text-seen"

[checks.level.given]
hose = [0.20, 0.50, 0.30]
gasket = [0.30, 0.50, 0.20]

[checks.level.names]
hose = ["empty"]

[checks.level.codes]
low = ["P0128"]

[checks.bubbles]
title = "Bubbles in the tank"
method = "Run it and look."
minutes = 20
dollars = "1.50"
setups = ["warm"]
outcomes = { none = "None", many = "Many" }
sound = [0.95, 0.05]

[checks.bubbles.given]
gasket = [0.10, 0.90]

[[checks.bubbles.after]]
check = "level"
outcomes = ["normal", "low"]
because = "Without coolant the engine is not run."

[[checks.bubbles.bars]]
check = "level"
outcomes = ["empty"]
because = "Without coolant the engine is not run."

[[checks.bubbles.bars]]
fault = "gasket"
at = 0.9
because = "It would only warp the head."

[[checks.bubbles.damages]]
fault = "gasket"
dollars = "200.00"
because = "Heat warps the head."
"""


def a_fault(code: str = "hose", weight: float = 0.5, **fields: Any) -> Fault:
    """Return a fault of the cooling system; twenty minutes to look, an hour and $20 to repair."""
    values: dict[str, Any] = {
        "title": code.replace("-", " ").capitalize(),
        "system": System.COOLING,
        "look": Effort(minutes=20),
        "repair": Effort(minutes=60, cents=20_00),
    }
    return Fault(code=code, weight=weight, **(values | fields))


def a_check(code: str = "level", **fields: Any) -> Check:
    """Return a check of ten minutes with two outcomes, `no` and `yes`, that tells of the hose.

    `outcomes` may be given as their codes.
    """
    values: dict[str, Any] = {
        "title": code.replace("-", " ").capitalize(),
        "method": "Look at it.",
        "outcomes": (GOOD, BAD),
        "sound": (0.9, 0.1),
        "given": {"hose": (0.2, 0.8)},
        "effort": Effort(minutes=10),
    }
    values |= fields
    values["outcomes"] = tuple(
        Outcome(code=one, label=one.capitalize()) if isinstance(one, str) else one
        for one in values["outcomes"]
    )
    return Check(code=code, **values)


def a_model(
    faults: Sequence[Fault] | None = None, checks: Sequence[Check] | None = None, **fields: Any
) -> FaultModel:
    """Return a model: without faults or checks given, a hot engine with four and three of them.

    Fan, hose and thermostat are roots; the hose brings about the head gasket. Weights and
    `unlisted` sum to one.
    """
    values: dict[str, Any] = {
        "code": "hot",
        "title": "Engine runs hot",
        "version": "1",
        "causes": Causes.ONE,
        "system": System.COOLING,
        "specialist": Specialist(title="Specialist", effort=Effort(minutes=30, cents=300_00)),
        "words": ("runs hot",),
        "words_es": ("se calienta",),
        "faults": tuple(faults) if faults is not None else _faults(),
        "checks": tuple(checks) if checks is not None else _checks(),
        "unlisted": 0.05 if faults is None else 0.0,
    }
    return FaultModel(**(values | fields))


def _faults() -> tuple[Fault, ...]:
    return (
        a_fault("fan", 0.3),
        a_fault("hose", 0.4),
        a_fault("thermostat", 0.2),
        a_fault(
            "gasket",
            0.05,
            system=System.ENGINE,
            caused_by={"hose": 0.2},
            repair=Effort(minutes=600, cents=400_00),
        ),
    )


def _checks() -> tuple[Check, ...]:
    return (
        a_check(
            "level",
            outcomes=("full", "low", "empty"),
            sound=(0.9, 0.08, 0.02),
            given={"hose": (0.1, 0.4, 0.5), "gasket": (0.2, 0.5, 0.3)},
        ),
        a_check("fan-runs", given={"fan": (0.05, 0.95)}, setups=("warm",)),
        a_check(
            "bubbles",
            given={"gasket": (0.1, 0.9)},
            names={"gasket": ("yes",)},
            effort=Effort(minutes=20, cents=1_00),
        ),
    )
