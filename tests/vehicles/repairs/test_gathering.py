"""What a page of repair items is drawn from: proposals, and what is on the list already."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.factories import TODAY, make_finding, make_intake, make_item, make_vehicle
from tests.vehicles.repairs.offered import read
from vehicles.repairs.gathering import cautions_of, found, offers, worst_of

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from vehicles.models import Intake

pytestmark = pytest.mark.django_db
WHEELS = ("LF", "RF", "LR", "RR")


def keys(stay: Intake) -> list[str]:
    return [one.key for one in offers(stay).proposals]


def test_a_bald_tire_is_proposed_with_its_parts_and_cautions() -> None:
    """Common practice, no source: a worn tire is replaced, with its valve stem."""
    stay = make_intake()
    finding = read(stay)
    [row] = offers(stay).rows
    assert (row.proposal.title, row.proposal.findings) == (
        "Replace tire, front left",
        (finding.pk,),
    )
    assert [str(part).partition(":")[0] for part in row.parts] == [
        "1 × Tire, front left",
        "1 × Valve stem, front left",
    ]
    assert row.parts_cents == sum(part.price.likely for part in row.proposal.parts)
    assert "Inflating tires" in [caution.title for caution in row.cautions]


def test_what_an_open_item_clears_is_proposed_no_more() -> None:
    stay = make_intake()
    make_item(intake=stay, findings=[read(stay)])
    assert offers(stay).findings == {}
    assert keys(stay) == []


@pytest.mark.parametrize("fields", [{"state": "withdrawn"}, {"state": "done", "done_on": TODAY}])
def test_an_item_that_is_closed_covers_nothing(fields: dict[str, object]) -> None:
    stay = make_intake()
    make_item(intake=stay, findings=[read(stay)], **fields)
    assert keys(stay) == ["tire-replace@LF"]


def test_what_is_cleared_or_withdrawn_is_not_proposed_for() -> None:
    stay = make_intake()
    read(stay, cleared_on=TODAY)
    read(stay, at="RF", withdrawn_because="read again")
    assert keys(stay) == []


def test_work_on_the_list_that_would_clear_a_finding_is_named_instead() -> None:
    """Common practice, no source: pads are changed on both sides of an axle in one job."""
    stay = make_intake()
    first = read(stay, "brake-pads", "LF-inner", "1.1.13 a")
    item = make_item(intake=stay, operation="brake-pads-front", findings=[first])
    second = read(stay, "brake-pads", "RF-outer", "1.1.13 a")
    [one] = offers(stay).attachable
    assert (one.finding, one.item, keys(stay)) == (second, item, [])


def test_work_at_another_wheel_does_not_clear_a_finding() -> None:
    stay = make_intake()
    make_item(intake=stay, operation="tire-replace", findings=[read(stay, at="LF")])
    read(stay, at="RR")
    assert offers(stay).attachable == ()
    assert keys(stay) == ["tire-replace@RR"]


def test_what_only_follows_is_not_proposed_beside_the_same_on_the_list() -> None:
    """Common practice, no source: new tie rod ends need an alignment, one is enough."""
    stay = make_intake()
    read(stay, "steering-linkage", "RF", "2.1.3 a")
    assert "alignment" in keys(stay)
    make_item(intake=stay, operation="alignment", title="Align the wheels, outside")
    assert "alignment" not in keys(stay)


def test_a_finding_without_a_reading_goes_by_its_reason() -> None:
    stay = make_intake()
    known = make_finding(intake=stay, reason_key="5.2.3 e.2")
    make_finding(intake=stay, reason_key="", system="heating", title="Air conditioning is dead")
    assert (found(known).criterion, found(known).position) == ("tire-tread", "")
    assert [one.title for one in offers(stay).left] == ["Air conditioning is dead"]
    assert keys(stay) == ["tire-replace"]


def test_of_several_points_with_one_reason_that_of_the_system_counts() -> None:
    stay = make_intake()
    lamp = make_finding(intake=stay, reason_key="5.2.3 h", system="tires")
    assert found(lamp).criterion.startswith("tire-pressure")


def test_what_was_seen_changes_with_the_findings() -> None:
    stay = make_intake()
    finding = read(stay)
    before = offers(stay).seen
    assert offers(stay).seen == before
    finding.version += 1
    finding.save()
    assert offers(stay).seen != before


def test_unknown_facts_of_the_car_are_said() -> None:
    stay = make_intake(vehicle=make_vehicle(rear_brakes=""))
    read(stay, "brake-shoes", "LR-leading", "1.1.13 a")
    [one] = offers(stay).proposals
    assert [str(note) for note in one.assumed] == [
        "Nobody noted whether the car has drum brakes in the rear: look first."
    ]


def test_cautions_of_work_outside_the_catalogue_are_none() -> None:
    assert cautions_of("") == cautions_of("no-such-operation") == ()


def test_the_worst_class_of_an_item_is_that_of_its_findings() -> None:
    stay = make_intake()
    rows = [make_finding(intake=stay, deficiency=kind) for kind in ("minor", "major")]
    assert worst_of(make_item(intake=stay, findings=rows)) == "major"
    assert worst_of(make_item(intake=stay, title="Wash")) == "none"


def test_the_queries_do_not_grow_with_the_findings(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    stay = make_intake()
    item = make_item(intake=stay, operation="tire-replace", findings=[read(stay)])
    read(stay, at="RF")
    with django_assert_num_queries(5):
        offers(stay)
    for number in range(60):
        read(stay, f"point-{number}", WHEELS[number % 4], "5.3.2 b")
    item.findings.add(read(stay, "tire-age", "LR"))
    with django_assert_num_queries(5):
        assert len(offers(stay).left) == 60
