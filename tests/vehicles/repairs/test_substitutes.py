"""What may stand in for a new part.

Tread on the road: 2/32 in, 49 CFR 570.9(a). The rules for used parts have no source: common
practice and program policy.
"""

from __future__ import annotations

import datetime as dt

import pytest

from vehicles.operations.catalogue import load
from vehicles.repairs.fitment import serves
from vehicles.repairs.parts import Car, Part, PartCondition
from vehicles.repairs.substitutes import (
    Verdict,
    check,
    used_battery,
    used_tire,
    verdict,
    verdicts,
    wear,
)
from vehicles.repairs.suitability import Answer, Fit
from vehicles.shop.systems import System

FITS, ASK, DOES_NOT_FIT = Answer.FITS, Answer.ASK, Answer.DOES_NOT_FIT
TODAY = dt.date(2026, 11, 30)


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


@pytest.mark.parametrize(
    ("tread", "made_on", "expected"),
    [
        (5, dt.date(2020, 11, 30), [FITS, FITS]),
        (4, dt.date(2020, 11, 30), [DOES_NOT_FIT, FITS]),
        (9, dt.date(2020, 11, 29), [FITS, DOES_NOT_FIT]),
    ],
)
def test_a_used_tire_has_five_32nds_and_is_at_most_six_years_old(
    tread: int, made_on: dt.date, expected: list[Answer]
) -> None:
    assert [fit.answer for fit in used_tire(tread, made_on, TODAY)] == expected


def test_a_used_battery_is_at_most_three_years_old() -> None:
    assert said(used_battery(dt.date(2023, 2, 1), TODAY)) == (
        DOES_NOT_FIT,
        "It was made in 2023, more than 3 years ago.",
    )
    assert used_battery(dt.date(2024, 2, 29), TODAY).answer is FITS


def test_a_need_that_takes_new_ones_only_is_not_served_by_a_used_one() -> None:
    offer = Part(kind="radiator", system=System.COOLING, used=True)
    need = Part(kind="radiator", system=System.COOLING, may_be=("new", "rebuilt"))
    assert said(serves(offer, need, Car())) == (
        DOES_NOT_FIT,
        "It is used; no used one is taken for this need.",
    )
