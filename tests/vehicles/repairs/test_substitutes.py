"""What may stand in for a new part.

The rules for used parts have no source: common practice and program policy.
"""

from __future__ import annotations

import pytest

from vehicles.operations.catalogue import load
from vehicles.repairs.fitment import serves
from vehicles.repairs.parts import Car, Part, PartCondition
from vehicles.repairs.substitutes import (
    Verdict,
    check,
    verdict,
    verdicts,
    wear,
)
from vehicles.repairs.suitability import Answer, Fit
from vehicles.shop.systems import System

FITS, ASK, DOES_NOT_FIT = Answer.FITS, Answer.ASK, Answer.DOES_NOT_FIT


def said(fit: Fit) -> tuple[Answer, str]:
    return fit.answer, str(fit.reason)


def answers(kind: str, system: System) -> list[Answer]:
    return [one.fit.answer for one in verdicts(kind, system)]


@pytest.mark.parametrize(
    ("kind", "system", "expected"),
    [
        (
            "seat_belt",
            System.RESTRAINT,
            [(DOES_NOT_FIT, "A used part of belts or airbags is not taken.")],
        ),
        (
            "brake_pads_front",
            System.BRAKES,
            [(DOES_NOT_FIT, "A used brake pad, shoe or lining is not taken.")],
        ),
        (
            "brake_caliper",
            System.BRAKES,
            [(ASK, "It is used: look it over for wear and hold it against the old part.")],
        ),
        ("tire", System.TIRES, [(ASK, "It is used: measure its tread and read its date code.")]),
        ("alternator", System.CHARGING, []),
    ],
)
def test_a_used_part_is_refused_asked_about_or_taken_by_what_hangs_on_it(
    kind: str, system: System, expected: list[tuple[Answer, str]]
) -> None:
    assert [said(fit) for fit in wear(Part(kind=kind, system=system, used=True))] == expected
    assert list(wear(Part(kind=kind, system=system))) == []


@pytest.mark.parametrize(
    ("kind", "system", "rebuilt", "used"),
    [
        ("brake_pads", System.BRAKES, DOES_NOT_FIT, DOES_NOT_FIT),
        ("brake_shoes", System.BRAKES, FITS, DOES_NOT_FIT),
        ("brake_hose", System.BRAKES, DOES_NOT_FIT, DOES_NOT_FIT),
        ("Brake hose", System.BRAKES, DOES_NOT_FIT, DOES_NOT_FIT),
        ("master_cylinder", System.BRAKES, FITS, DOES_NOT_FIT),
        ("brake_caliper", System.BRAKES, FITS, ASK),
        ("ball_joint", System.SUSPENSION, DOES_NOT_FIT, DOES_NOT_FIT),
        ("tie_rod_end", System.STEERING, DOES_NOT_FIT, DOES_NOT_FIT),
        ("steering_rack", System.STEERING, FITS, ASK),
        ("airbag_harness", System.RESTRAINT, DOES_NOT_FIT, DOES_NOT_FIT),
        ("tire", System.TIRES, DOES_NOT_FIT, ASK),
        ("battery", System.BATTERY, DOES_NOT_FIT, ASK),
        ("catalytic_converter", System.EXHAUST, DOES_NOT_FIT, DOES_NOT_FIT),
        ("drive_belt", System.ENGINE, DOES_NOT_FIT, DOES_NOT_FIT),
        ("alternator", System.CHARGING, FITS, FITS),
        ("door_handle", System.BODY, FITS, FITS),
    ],
)
def test_a_new_part_is_always_taken_and_another_by_what_hangs_on_it(
    kind: str, system: System, rebuilt: Answer, used: Answer
) -> None:
    assert answers(kind, system) == [FITS, rebuilt, used]


def test_no_belt_brake_friction_or_hose_of_the_catalogue_is_ever_taken_used() -> None:
    """Program policy; the words are those of the shipped operations."""
    kinds = {(part.kind, one.system) for one in load().values() for part in one.parts}
    never = {"seat_belt", "seat_belt_buckle", "pretensioner", "brake_pads", "brake_hose"}
    found = {
        kind
        for kind, system in kinds
        if kind in never
        and verdict(kind, system, PartCondition.USED).fit.answer is not DOES_NOT_FIT
    }
    assert found == set()
    assert never <= {kind for kind, _ in kinds}


@pytest.mark.parametrize(
    ("kind", "system", "reason"),
    [
        ("tire_patch", System.TIRES, "It is worn by use, or seals only once: a new one is taken."),
        (
            "battery_fuse",
            System.BATTERY,
            "It is worn by use, or seals only once: a new one is taken.",
        ),
        ("battery_cable", System.BATTERY, "Used and rebuilt ones are taken, once they are tested."),
    ],
)
def test_what_belongs_to_a_tire_or_battery_is_not_read_like_one(
    kind: str, system: System, reason: str
) -> None:
    assert str(verdict(kind, system, PartCondition.USED).fit.reason) == reason


def test_each_verdict_says_where_its_rule_is_from() -> None:
    rows: list[Verdict] = [
        *verdicts("catalytic_converter", System.EXHAUST),
        *verdicts("tire", System.TIRES),
    ]
    assert [str(row.source) for row in rows[1:4:2]] == [
        "EPA policy on catalysts, 51 FR 28114; text not seen",
        "program policy; common practice, no source",
    ]


def test_a_condition_that_is_not_taken_is_refused_with_the_reason() -> None:
    found = check("brake_pads", System.BRAKES, ["new", "used", "polished"])
    assert [str(one.sentence) for one in found] == [
        "“polished” is no condition of a part.",
        "A used brake pad, shoe or lining is not taken.",
    ]
    assert check("alternator", System.CHARGING, ["used", "rebuilt"]) == []


def test_a_need_that_takes_new_ones_only_is_not_served_by_a_used_one() -> None:
    offer = Part(kind="radiator", system=System.COOLING, used=True)
    need = Part(kind="radiator", system=System.COOLING, may_be=("new", "rebuilt"))
    assert said(serves(offer, need, Car())) == (
        DOES_NOT_FIT,
        "It is used; no used one is taken for this need.",
    )
