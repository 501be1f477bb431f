"""Proposals are taken over as items: with findings, parts, cautions and order, all or none."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError

from shared.models import Event, Job
from shared.policy.defaults import DEFAULTS
from tests.factories import TODAY, make_intake, make_item, make_need, make_user, make_vehicle
from tests.vehicles.repairs.offered import read
from vehicles.models import Need, Prerequisite, RepairItem
from vehicles.operations.catalogue import load
from vehicles.repairs.actions import require_first, take_proposals
from vehicles.repairs.gathering import offers
from vehicles.repairs.writing import CHANGED, PartLine, Taken, write_parts

if TYPE_CHECKING:
    from vehicles.models import Intake

pytestmark = pytest.mark.django_db


def take(stay: Intake, *keys: str, seen: str = "", **change: Any) -> list[RepairItem]:
    """Take proposals over as they stand now; without keys, all of them."""
    found = offers(stay)
    taken = [Taken(key=key, **change) for key in keys or [one.key for one in found.proposals]]
    return take_proposals(intake=stay, taken=taken, seen=seen or found.seen, by=make_user())


def refused(stay: Intake, *keys: str, **change: Any) -> list[str]:
    before = (RepairItem.objects.count(), Need.objects.count())
    with pytest.raises(ValidationError) as refusal:
        take(stay, *keys, **change)
    assert (RepairItem.objects.count(), Need.objects.count()) == before
    return refusal.value.messages


def orders() -> list[str]:
    return sorted(map(str, Prerequisite.objects.select_related("item", "first")))


def test_a_proposal_becomes_an_item_with_all_that_belongs_to_it() -> None:
    stay = make_intake(vehicle=make_vehicle(tire_size="205/55R16"))
    finding = read(stay)
    [item] = take(stay)
    assert (item.title, item.operation, item.system) == (
        "Replace tire, front left",
        "tire-replace",
        "tires",
    )
    assert (item.state, list(item.findings.all())) == ("open", [finding])
    assert "Inflating tires" in item.caution.split("; ")
    assert offers(stay).proposals == ()
    event = Event.objects.about("repairitem", item.pk).get()
    assert (event.what, Job.objects.get().kind) == (
        "A proposed repair was taken over.",
        "rank_items",
    )


def test_its_parts_are_needs_with_the_facts_of_the_car() -> None:
    stay = make_intake(vehicle=make_vehicle(tire_size="205/55R16"))
    read(stay)
    [item] = take(stay)
    tire = item.needs.get(kind="tire")
    assert tire.fitment == {"position": "front left"}
    assert (tire.car["tire_size"], tire.car["model"]) == ("205/55R16", "Corolla")
    [part] = [one for one in load()["tire-replace"].parts if one.kind == "tire"]
    prices = (tire.price_low_cents, tire.price_cents, tire.price_high_cents)
    assert prices == (part.price.low, part.price.likely, part.price.high)
    assert (tire.quantity, tire.price_source) == (1, "usual price, a guess")
    assert (tire.state, tire.approved_text, tire.system) == ("open", "", "tires")


def test_a_need_knows_the_household_as_other_needs_of_the_stay_do() -> None:
    stay = make_intake()
    make_need(item=make_item(intake=stay), county="Aske", household_kinds=["one_parent"])
    read(stay)
    [item] = take(stay)
    assert set(item.needs.values_list("county", flat=True)) == {"Aske"}


def test_the_alignment_comes_after_the_tie_rod() -> None:
    """Common practice, no source: the toe is set once the linkage is whole."""
    stay = make_intake()
    read(stay, "steering-linkage", "RF", "2.1.3 a")
    first, last = take(stay)
    assert orders() == [f"{first} before {last}"]


def test_work_on_the_list_is_put_in_order_with_what_is_new() -> None:
    stay = make_intake()
    alignment = make_item(intake=stay, operation="alignment", title="Alignment")
    read(stay, "steering-linkage", "RF", "2.1.3 a")
    [item] = take(stay)
    assert orders() == [f"{item} before Alignment"]
    assert list(alignment.prerequisites.all()) == [item]


def test_what_would_need_itself_is_refused_with_the_circle() -> None:
    """Common practice, no source: hub, pads, brake fluid; here somebody said otherwise."""
    stay = make_intake()
    hub = make_item(intake=stay, operation="hub-front", title="Hub")
    fluid = make_item(intake=stay, operation="brake-fluid", title="Brake fluid")
    require_first(item=hub, first=fluid, by=make_user())
    read(stay, "brake-pads", "LF-inner", "1.1.13 a")
    assert refused(stay, "brake-pads-front@front") == [
        "“Hub” needs itself, by way of “Brake fluid”, “Replace front brake pads”."
    ]


def test_nothing_ticked_is_said() -> None:
    stay = make_intake()
    with pytest.raises(ValidationError) as refusal:
        take_proposals(intake=stay, taken=[], seen=offers(stay).seen, by=make_user())
    assert refusal.value.messages == ["Tick at least one repair."]


def test_the_same_sent_twice_adds_nothing() -> None:
    stay = make_intake()
    read(stay)
    seen, key = offers(stay).seen, "tire-replace@LF"
    assert len(take(stay, key, seen=seen)) == 1
    assert take(stay, key, seen=seen) == []
    assert (RepairItem.objects.count(), Need.objects.count()) == (1, 2)


def test_findings_that_changed_meanwhile_are_looked_at_again() -> None:
    stay = make_intake()
    read(stay)
    seen = offers(stay).seen
    read(stay, at="RF")
    assert refused(stay, "tire-replace@LF", seen=seen) == [CHANGED]


def test_a_finding_whose_class_changed_meanwhile_is_looked_at_again() -> None:
    stay = make_intake()
    finding = read(stay)
    seen = offers(stay).seen
    finding.version += 1
    finding.save()
    assert refused(stay, "tire-replace@LF", seen=seen) == [CHANGED]


@pytest.mark.parametrize("key", ["tire-replace@RR", "no-such-work", "", "@"])
def test_what_is_not_proposed_is_not_taken(key: str) -> None:
    stay = make_intake()
    read(stay)
    with pytest.raises(ValidationError) as refusal:
        take_proposals(intake=stay, taken=[Taken(key=key)], seen=offers(stay).seen, by=make_user())
    assert (refusal.value.messages, RepairItem.objects.count()) == ([CHANGED], 0)


def test_all_are_taken_or_none() -> None:
    stay = make_intake()
    read(stay)
    assert refused(stay, "tire-replace@LF", "no-such-work") == [CHANGED]


def test_an_ended_stay_takes_nothing() -> None:
    stay = make_intake(left_on=TODAY)
    read(stay)
    assert refused(stay) == ["This stay has ended. Open a new intake to work on the car again."]


def test_the_same_title_is_not_on_the_list_twice() -> None:
    stay = make_intake()
    make_item(intake=stay, title="REPLACE TIRE, front left")
    read(stay)
    assert refused(stay) == ["“Replace tire, front left” is on the list already."]


def test_a_proposal_is_taken_as_it_was_changed() -> None:
    stay = make_intake()
    read(stay)
    line, stem = PartLine(kind="tire", title="Tire, used"), PartLine(quantity=0)
    fields = {"title": "Used tire", "labor_high_minutes": 300}
    [item] = take(stay, "tire-replace@LF", fields=fields, parts=[line, stem])
    assert (item.title, item.labor_high_minutes) == ("Used tire", 300)
    assert [(need.title, need.price_cents) for need in item.needs.all()] == [("Tire, used", None)]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"labor_low_minutes": 900}, "Minutes go from low over likely to high, 60,000 at most."),
        (
            {"labor_high_minutes": 60_001},
            "Minutes go from low over likely to high, 60,000 at most.",
        ),
        ({"sublet_cents": -1}, "A cost can't be negative."),
        ({"title": " "}, "This field cannot be blank."),
    ],
)
def test_a_change_that_is_not_possible_is_refused(fields: dict[str, Any], sentence: str) -> None:
    stay = make_intake()
    read(stay)
    assert refused(stay, "tire-replace@LF", fields=fields) == [sentence]


def test_prices_out_of_order_are_refused() -> None:
    stay = make_intake()
    read(stay)
    line = PartLine(kind="tire", title="Tire", price_low_cents=900, price_cents=800)
    assert refused(stay, "tire-replace@LF", parts=[line]) == [
        "Prices go from low over likely to high, none below zero."
    ]


def test_a_need_is_changed_and_another_withdrawn() -> None:
    item = make_item()
    need, gone = make_need(item=item), make_need(item=item)
    lines = [
        PartLine(need_id=need.pk, quantity=2, price_cents=9_900, source="as typed by the shop"),
        PartLine(need_id=gone.pk, quantity=0),
    ]
    write_parts(item, lines)
    need.refresh_from_db()
    gone.refresh_from_db()
    assert (need.quantity, need.price_cents, need.version) == (2, 9_900, 2)
    assert (need.price_source, gone.state, gone.version) == ("as typed by the shop", "withdrawn", 2)


def test_a_need_of_another_item_or_a_closed_one_is_not_changed() -> None:
    item = make_item()
    for need in (make_need(), make_need(item=item, state="filled")):
        with pytest.raises(ValidationError) as refusal:
            write_parts(item, [PartLine(need_id=need.pk)])
        assert refusal.value.messages == [
            "A part was filled or withdrawn meanwhile. Look at it again."
        ]


def test_an_item_made_from_an_operation_knows_what_comes_off_and_rests() -> None:
    stay = make_intake()
    read(stay)
    [item] = take(stay)
    assert (item.access, item.access_minutes) == ("wheels_front", 10)
    assert (item.rest_minutes, item.outside_days) == (0, 0)


@pytest.mark.parametrize(("typed", "days"), [(None, DEFAULTS["outside_days"]), (9, 9)])
def test_work_elsewhere_takes_as_long_as_usual_unless_somebody_says(
    typed: int | None, days: int
) -> None:
    """The default policy is common practice, no source."""
    stay = make_intake()
    read(stay, "structure", "", "6.1.1 a")
    found = offers(stay)
    [proposal] = [one for one in found.proposals if one.operation.code == "structure-weld"]
    fields = {} if typed is None else {"outside_days": typed}
    [item] = take(stay, proposal.key, fields=fields)
    assert item.outside_days == days
