"""From findings to repairs: what a technician would write down.

The worked examples are common practice, no source. The catalogue's minutes and prices come from
memory, so the examples check which jobs are proposed and how they are counted, not how long.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.vehicles.operations.test_operation import make_operation
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.intake.car import Brake, CarFacts, Fuel
from vehicles.operations.catalogue import load
from vehicles.operations.operation import Clears, Per, Points
from vehicles.operations.proposing import Found, Proposal, propose

if TYPE_CHECKING:
    from collections.abc import Iterable

OPERATIONS = load()
SEDAN = CarFacts(
    year=2012,
    fuel=Fuel.GASOLINE,
    front_brakes=Brake.DISC,
    rear_brakes=Brake.DRUM,
    power_brakes=True,
)


def found(*points: str, car: CarFacts = SEDAN) -> list[Proposal]:
    """Return what is proposed for points written as `criterion@place: reason`."""
    findings = []
    for at, point in enumerate(points, start=1):
        where, _, reason = point.partition(": ")
        code, _, position = where.partition("@")
        findings.append(Found(id=at, criterion=code, position=position, reason=reason))
    jobs, left = propose(findings, OPERATIONS, car)
    assert left == []
    return jobs


def titles(jobs: Iterable[Proposal]) -> list[str]:
    return [job.title for job in jobs]


def test_both_front_pads_are_one_job() -> None:
    """Common practice, no source: pads are changed by the axle."""
    [job] = found("brake-pads@LF-inner: 1.1.13 a.2", "brake-pads@RF-outer: 1.1.13 a")
    assert (job.title, job.findings) == ("Replace front brake pads", (1, 2))
    pads = job.parts[0]
    assert (pads.kind, pads.quantity, pads.unit, pads.position) == ("brake_pads", 1, "set", "front")
    assert str(job.why) == "Clears: brake pads, front left inner; brake pads, front right outer."


@pytest.mark.parametrize(
    ("wear", "job"),
    [
        ("worn-inner-edge", "Align the wheels, outside"),
        ("worn-outer-edge", "Align the wheels, outside"),
        ("worn-both-edges", "Set tire pressures to the placard"),
        ("worn-middle", "Set tire pressures to the placard"),
    ],
)
def test_uneven_wear_is_put_right_at_its_cause(wear: str, job: str) -> None:
    """Common practice, no source: edges wear by alignment, both or the middle by pressure."""
    assert titles(found(f"tire-wear-across@LF: PP {wear}")) == [job]


def test_a_bald_tire_worn_at_one_edge_is_replaced_before_the_wheels_are_aligned() -> None:
    """Common practice, no source: a new tire on wheels out of line wears the same way."""
    jobs = found("tire-wear-across@LF: PP worn-inner-edge", "tire-tread@LF: 5.2.3 e.2")
    assert titles(jobs) == ["Replace tire, front left", "Align the wheels, outside"]


def test_a_thin_rotor_brings_the_pads_into_one_job_with_it() -> None:
    """Common practice, no source: new rotors get new pads."""
    jobs = found("brake-pads@LF-inner: 1.1.13 a", "brake-rotor@RF: 1.1.14 a")
    assert titles(jobs) == ["Replace front brake pads and rotors"]


def test_two_tires_of_an_axle_are_one_job_and_three_are_two() -> None:
    jobs = found(*(f"tire-tread@{at}: 5.2.3 e.2" for at in ("RR", "LF", "LR")))
    assert titles(jobs) == ["Replace tire, front left", "Replace tire, rear left and right"]
    assert [job.parts[0].quantity for job in jobs] == [1, 2]
    assert [job.parts[0].position for job in jobs] == ["front left", "rear"]
    one = OPERATIONS["tire-replace"]
    assert jobs[1].minutes == one.minutes.plus(Points(low=15, likely=25, high=50))


def test_a_tire_bald_and_cut_is_replaced_once() -> None:
    [job] = found("tire-tread@RR: 5.2.3 e.2", "tire-damage@RR: 5.2.3 d", "tire-age@RR")
    assert (job.title, job.findings) == ("Replace tire, rear right", (1, 2, 3))


def test_a_soft_tire_that_is_replaced_anyway_is_no_job_of_its_own() -> None:
    jobs = found("tire-tread@RR: 5.2.3 e.2", "tire-pressure@RR: 5.2.3 h")
    assert titles(jobs) == ["Replace tire, rear right"]
    assert titles(found("tire-pressure@RR: 5.2.3 h")) == ["Set tire pressures to the placard"]


def test_tie_rod_ends_come_before_the_alignment_that_they_bring() -> None:
    """Common practice, no source: toe is set anew after a tie rod."""
    ends, alignment = found(
        "steering-linkage-play@LF: 2.1.3 b", "steering-linkage-play@RF: 2.1.3 b"
    )
    assert ends.title == "Replace outer tie rod end, front left and right"
    assert (alignment.key, alignment.findings) == ("alignment", ())
    assert alignment.first == ("tie-rod-outer@LF+RF",)
    assert str(alignment.why) == "Follows: replace outer tie rod end, front left and right."
    assert alignment.sublet_cents == OPERATIONS["alignment"].sublet_cents > 0


def test_an_alignment_that_is_due_anyway_is_not_proposed_twice() -> None:
    jobs = found("steering-toe: 2.4 a", "steering-linkage-play@LF: 2.1.3 b")
    assert [job.key for job in jobs] == ["tie-rod-outer@LF", "alignment"]
    assert jobs[1].findings == (1,)


def test_old_brake_fluid_and_two_hoses_need_one_flush_at_the_end() -> None:
    """Common practice, no source: what opens the hydraulics comes before the bleeding."""
    jobs = found("brake-fluid: 1.8 a", "brake-hoses@LF: 1.1.12 d", "brake-hoses@RR: 1.1.12 d")
    assert titles(jobs) == [
        "Replace brake hose, front left",
        "Replace brake hose, rear right",
        "Flush and bleed the brakes",
    ]
    assert jobs[2].first == ("brake-hose-front@LF", "brake-hose-rear@RR")


def test_a_leaking_wheel_cylinder_comes_before_the_shoes_that_it_soaked() -> None:
    """Common practice, no source: cause before effect."""
    jobs = found("brake-lining-condition@LR: 1.1.13 b", "brake-cylinders@LR: 1.1.16 b")
    assert [job.key for job in jobs] == [
        "brake-cylinder-rear@LR",
        "brake-shoes-rear@rear",
        "brake-fluid",
    ]


def test_what_the_rear_brakes_are_decides_the_repair() -> None:
    soaked = "brake-lining-condition@RR: 1.1.13 b"
    assert titles(found(soaked)) == ["Replace rear brake shoes"]
    disc = CarFacts(rear_brakes=Brake.DISC)
    assert titles(found(soaked, car=disc)) == ["Replace rear brake pads"]


def test_what_nobody_noted_of_the_car_is_said() -> None:
    [job] = found("brake-lining-condition@RR: 1.1.13 b", car=CarFacts())
    assert [str(one) for one in job.assumed] == [
        "Nobody noted whether the car has disc brakes in the rear: look first."
    ]
    [sure] = found("brake-lining-condition@RR: 1.1.13 b")
    assert sure.assumed == ()


def test_a_lamp_named_by_side_and_by_corner_is_one_lamp() -> None:
    [job] = found("stop-lamps@left: 4.3.1 b.2", "tail-lamps@LR: 4.2.1 b")
    assert job.title == "Replace tail lamp assembly, rear left"


def test_work_on_the_other_axle_has_not_to_come_first() -> None:
    jobs = found("brake-pads@LF-inner: 1.1.13 a", "brake-cylinders@LR: 1.1.16 f", "brake-hoses@LF")
    first = {job.operation.code: job.first for job in jobs}
    assert first["brake-pads-front"] == ()
    assert first["brake-fluid"] == (
        "brake-caliper-boot@LR",
        "brake-hose-front@LF",
        "brake-pads-front@front",
    )


def test_a_finding_that_two_repairs_would_clear_goes_to_one_of_them() -> None:
    pairs = {"a": ("x", "y"), "b": ("y", "z")}
    operations = {
        code: make_operation(
            code=code,
            title=code,
            per=Per.CAR,
            positions=(),
            clears=tuple(Clears(criterion=one, title=one) for one in clears),
        )
        for code, clears in pairs.items()
    }
    findings = [Found(id=at, criterion=one) for at, one in enumerate("xyz", start=1)]
    jobs, left = propose(findings, operations, SEDAN)
    assert [(job.key, job.findings) for job in jobs] == [("a", (1, 2)), ("b", (3,))]
    assert left == []


def test_the_worst_finding_is_done_first_where_nothing_has_to_wait() -> None:
    findings = [
        Found(id=1, criterion="wipers", reason="3.4 b", deficiency=DeficiencyClass.MINOR),
        Found(
            id=2,
            criterion="wheel-nuts",
            position="LF",
            reason="5.2.1 a.2",
            deficiency=DeficiencyClass.DANGEROUS,
        ),
    ]
    jobs, _ = propose(findings, OPERATIONS, SEDAN)
    assert [job.deficiency for job in jobs] == ["dangerous", "minor"]
    assert titles(jobs)[1] == "Replace wiper blades"


@pytest.mark.parametrize(
    "nothing",
    [
        Found(id=1, criterion=""),
        Found(id=1, criterion="no-such-criterion", reason="1 a"),
        Found(id=1, criterion="title-papers", reason="PP title-hold"),
        Found(id=1, criterion="stop-lamps", position="left", reason=""),
    ],
)
def test_what_no_operation_clears_comes_back(nothing: Found) -> None:
    assert propose([nothing], OPERATIONS, SEDAN) == ([], [nothing])


def test_the_alternator_of_a_hybrid_is_no_alternator() -> None:
    """Common practice, no source: a hybrid charges by a converter, behind high voltage."""
    low = "charging-voltage: PP charging-low"
    [job] = found(low, car=CarFacts(fuel=Fuel.HYBRID))
    assert (job.key, "high_voltage" in job.operation.skills) == ("converter-12v", True)
    assert [job.key for job in found(low)] == ["charging-trace"]


def test_a_repair_carries_its_lift_and_cautions() -> None:
    [job] = found("brake-pads@LF-inner: 1.1.13 a.2")
    assert job.needs_lift
    assert {"brake-dust", "wheels-off", "lifting-stands"} <= set(job.cautions)


def test_nothing_found_is_nothing_proposed() -> None:
    assert propose([], OPERATIONS, SEDAN) == ([], [])


def test_a_concluded_fault_proposes_the_operation_that_it_names() -> None:
    fan = Found(id=1, criterion="", operation="fan-motor", title="Cooling fan does not run")
    jobs, left = propose([fan], load(), CarFacts())
    assert ([job.operation.code for job in jobs], left) == (["fan-motor"], [])
    assert str(jobs[0].why) == "Clears: cooling fan does not run."


def test_a_concluded_fault_with_an_unknown_operation_is_left() -> None:
    fault = Found(id=1, criterion="", operation="no-such-work", title="Odd fault")
    assert propose([fault], load(), CarFacts()) == ([], [fault])
