"""Items are added, ordered, ranked, estimated and done.

The ranking follows MIL-STD-882E, tables I to III, and the class weights of COM(2012) 382 Annex I;
both are checked cell by cell beside `ranking`.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError

from shared.models import Event
from tests.factories import (
    TODAY,
    make_finding,
    make_intake,
    make_item,
    make_need,
    make_program,
    make_user,
)
from vehicles.models import Estimate, Prerequisite, RepairItem
from vehicles.repairs.actions import (
    add_item,
    make_estimate,
    mark_done,
    rank_items,
    rank_stay,
    require_first,
)

if TYPE_CHECKING:
    from django.db.models import Model
    from pytest_django import DjangoAssertNumQueries

    from vehicles.models import Finding, Intake

pytestmark = pytest.mark.django_db
FIELDS = {
    "title": "Front pads",
    "system": "brakes",
    "labor_low_minutes": 40,
    "labor_likely_minutes": 60,
    "labor_high_minutes": 90,
}
ENDED = "This stay has ended. Open a new intake to work on the car again."
DAY = dt.timedelta(days=1)


def add(stay: Intake, findings: list[Finding], **fields: Any) -> RepairItem:
    return add_item(intake=stay, findings=findings, by=make_user(), **FIELDS | fields)


def done(item: RepairItem, on: dt.date = TODAY) -> RepairItem:
    return mark_done(item=item, on=on, by=make_user())


def lines(row: Model) -> list[str]:
    kind = row._meta.model_name or ""
    return [event.what for event in Event.objects.about(kind, row.pk)]


def test_an_item_is_added_with_what_it_clears() -> None:
    stay = make_intake()
    finding = make_finding(intake=stay)
    item = add(stay, [finding])
    assert (item.state, list(item.findings.all())) == ("open", [finding])
    assert (item.program, lines(item)) == (stay.program, ["A repair item was added."])


def test_a_finding_of_another_stay_is_not_cleared_here() -> None:
    stay = make_intake()
    with pytest.raises(ValidationError) as refusal:
        add(stay, [make_finding()])
    assert refusal.value.message_dict == {
        "findings": ["A finding of another stay can't be cleared here."]
    }
    assert RepairItem.objects.count() == 0


def test_minutes_out_of_order_are_refused() -> None:
    with pytest.raises(ValidationError) as refusal:
        add(make_intake(), [], labor_low_minutes=61)
    assert refusal.value.messages == ["Minutes go from low over likely to high, 60,000 at most."]


def test_a_stay_that_has_ended_takes_no_item() -> None:
    with pytest.raises(ValidationError) as refusal:
        add(make_intake(left_on=TODAY), [])
    assert refusal.value.messages == [ENDED]


def test_one_item_is_put_before_another() -> None:
    item = make_item(title="Alignment")
    first = make_item(intake=item.intake, title="Tie rod end")
    row = require_first(item=item, first=first, by=make_user())
    assert (str(row), list(item.prerequisites.all())) == ("Tie rod end before Alignment", [first])
    event = Event.objects.about("repairitem", item.pk).get()
    assert (event.what, event.fields) == ("The order of work was changed.", ["prerequisites"])


def refused_order(item: RepairItem, first: RepairItem) -> dict[str, list[str]]:
    before = Prerequisite.objects.count()
    with pytest.raises(ValidationError) as refusal:
        require_first(item=item, first=first, by=make_user())
    assert Prerequisite.objects.count() == before
    return refusal.value.message_dict


def test_an_item_never_needs_itself() -> None:
    item = make_item(title="Water pump")
    assert refused_order(item, item) == {"first": ["“Water pump” needs itself."]}


def test_an_item_never_needs_itself_by_way_of_others() -> None:
    one = make_item(title="Water pump")
    two = make_item(intake=one.intake, title="Timing belt")
    three = make_item(intake=one.intake, title="Crank seal")
    require_first(item=two, first=one, by=make_user())
    require_first(item=three, first=two, by=make_user())
    assert refused_order(one, three) == {
        "first": ["“Water pump” needs itself, by way of “Crank seal”, “Timing belt”."]
    }


def test_items_of_two_cars_have_no_order() -> None:
    assert refused_order(make_item(), make_item()) == {
        "first": ["Both items have to be on the same car."]
    }


def test_an_order_is_recorded_once() -> None:
    item = make_item()
    first = make_item(intake=item.intake)
    require_first(item=item, first=first, by=make_user())
    assert refused_order(item, first) == {"__all__": ["This order is on record already."]}


def test_what_is_done_has_no_order_any_more() -> None:
    item = make_item(title="Alignment", state="done", done_on=TODAY)
    other = make_item(intake=item.intake)
    assert refused_order(other, item) == {"first": ["“Alignment” is done already."]}
    assert refused_order(item, other) == {"item": ["“Alignment” is done already."]}


def test_a_done_item_clears_its_findings_and_fills_its_needs() -> None:
    stay = make_intake()
    finding = make_finding(intake=stay)
    item = make_item(intake=stay, findings=[finding])
    need, gone = make_need(item=item), make_need(item=item, state="withdrawn")
    found = done(item)
    for row in (finding, need, gone):
        row.refresh_from_db()
    assert (found.state, found.done_on, found.version) == ("done", TODAY, 2)
    assert (finding.cleared_on, finding.version) == (TODAY, 2)
    assert (need.state, need.version, gone.state) == ("filled", 2, "withdrawn")
    assert lines(item) == ["The item was done."]


def test_a_finding_that_another_open_item_is_to_clear_stays_open() -> None:
    stay = make_intake()
    finding = make_finding(intake=stay)
    items = [make_item(intake=stay, findings=[finding]) for _ in range(2)]
    done(items[0])
    finding.refresh_from_db()
    assert finding.cleared_on is None
    done(items[1])
    finding.refresh_from_db()
    assert finding.cleared_on == TODAY


def test_what_was_withdrawn_is_not_cleared() -> None:
    finding = make_finding(withdrawn_because="The point was read again.")
    done(make_item(intake=finding.intake, findings=[finding]))
    finding.refresh_from_db()
    assert finding.cleared_on is None


@pytest.mark.parametrize(
    ("fields", "on", "sentence"),
    [
        ({"state": "done", "done_on": TODAY}, TODAY, "“Two front tires” is done already."),
        ({"state": "withdrawn"}, TODAY, "“Two front tires” is withdrawn already."),
        ({}, TODAY - 8 * DAY, "The work can't be done before the car came."),
    ],
)
def test_an_item_is_not_done(fields: dict[str, Any], on: dt.date, sentence: str) -> None:
    with pytest.raises(ValidationError) as refusal:
        done(make_item(**fields), on)
    assert refusal.value.messages == [sentence]


def test_what_has_to_come_first_is_done_first() -> None:
    item = make_item(title="Alignment")
    first = make_item(intake=item.intake, title="Tie rod end")
    require_first(item=item, first=first, by=make_user())
    with pytest.raises(ValidationError) as refusal:
        done(item)
    assert refusal.value.messages == ["“Tie rod end” has to be done before “Alignment”."]
    done(first)
    assert done(item).state == "done"


def test_nothing_is_done_on_a_stay_that_has_ended() -> None:
    with pytest.raises(ValidationError) as refusal:
        done(make_item(intake=make_intake(left_on=TODAY)))
    assert refusal.value.messages == [ENDED]


def test_a_dangerous_finding_ranks_its_item_and_its_needs_first() -> None:
    """One dangerous finding of severity 1: cell 1C, high risk; 40 x 4 points."""
    item = make_item(findings=[make_finding()], tier=4, points=0)
    need = make_need(item=item, tier=4)
    count = rank_items(program=item.program, given=(), cents_per_hour=0, today=TODAY)
    item.refresh_from_db()
    need.refresh_from_db()
    assert (count, item.tier, need.tier) == (1, 0, 0)
    assert (item.cell, item.points, item.net_cost_cents) == ("1C", 160, 12_000)
    assert item.index_tenths == 160 * 1000 * 100 // 12_000
    assert item.tier_because == "Tier 0: the class is dangerous."


def test_a_given_part_costs_nothing_and_moves_the_index_not_the_tier() -> None:
    item = make_item(findings=[make_finding(deficiency="major", severity=2)])
    need = make_need(item=item)
    rank_items(program=item.program, given={need.pk}, cents_per_hour=0, today=TODAY)
    item.refresh_from_db()
    assert (item.net_cost_cents, item.tier, item.index_tenths) == (0, 2, 800)


def test_each_car_ranks_by_its_own_miles() -> None:
    finding = {"deficiency": "major", "severity": 2}
    near = make_item(findings=[make_finding(**finding)])
    stay = make_intake(miles_per_week=400)
    far = make_item(intake=stay, findings=[make_finding(intake=stay, **finding)])
    rank_items(program=near.program, given=(), cents_per_hour=0, today=TODAY)
    near.refresh_from_db()
    far.refresh_from_db()
    assert (near.tier, far.tier) == (2, 2)
    assert (near.points, far.points) == (20, 30)  # 2D medium; one level up, 2C serious


def test_only_open_items_of_the_program_are_ranked() -> None:
    finished = make_item(state="done", done_on=TODAY, tier=0)
    stay = make_intake(program=make_program(name="Weir Street Garage"))
    other = make_item(intake=stay, tier=0)
    count = rank_items(program=finished.program, given=(), cents_per_hour=0, today=TODAY)
    finished.refresh_from_db()
    other.refresh_from_db()
    assert (count, finished.tier, other.tier) == (0, 0, 0)


def test_one_stay_is_ranked_alone() -> None:
    item, other = make_item(tier=0), make_item(tier=0)
    count = rank_stay(intake=item.intake, given=(), cents_per_hour=0, today=TODAY)
    item.refresh_from_db()
    other.refresh_from_db()
    assert (count, item.tier, other.tier) == (1, 4, 0)
    assert item.tier_because == "Tier 4: nothing sets it higher."


@pytest.mark.parametrize("count", [1, 3])
def test_ranking_takes_as_many_queries_for_one_item_as_for_three(
    count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for _ in range(count):
        make_need(item=make_item(findings=[make_finding()]))
    program = make_program()
    with django_assert_num_queries(8):
        rank_items(program=program, given=(), cents_per_hour=0, today=TODAY)


def estimate(stay: Intake, **fields: Any) -> Estimate:
    defaults: dict[str, Any] = {"given": (), "cents_per_hour": 6_000, "by": None}
    return make_estimate(intake=stay, **defaults | fields)


def test_an_estimate_has_its_points_in_order_and_a_line_for_each_open_item() -> None:
    stay = make_intake()
    item = make_item(intake=stay)
    make_item(intake=stay, state="done", done_on=TODAY)
    made = estimate(stay, by=make_user())
    line = made.lines.get()
    assert (made.number, line.item) == (1, item)
    assert (line.low_cents, line.likely_cents, line.high_cents) == (4_000, 6_000, 9_000)
    assert 4_000 < made.p50_cents < made.p80_cents < 9_000
    assert 60 < made.p80_minutes < 90
    assert (line.p80_cents, lines(made)) == (made.p80_cents, ["An estimate was made."])


def test_the_lines_share_out_the_80_percent_point_to_the_cent() -> None:
    stay = make_intake()
    for _ in range(3):
        make_need(item=make_item(intake=stay))
    made = estimate(stay)
    assert sum(line.p80_cents for line in made.lines.all()) == made.p80_cents


def test_the_same_facts_give_the_same_estimate() -> None:
    stay = make_intake()
    make_item(intake=stay)
    assert estimate(stay) == estimate(stay)
    assert Estimate.objects.count() == 1


def test_other_facts_give_the_next_version() -> None:
    stay = make_intake()
    need = make_need(item=make_item(intake=stay))
    first = estimate(stay)
    second = estimate(stay, given={need.pk})
    assert (first.number, second.number) == (1, 2)
    assert second.p80_cents < first.p80_cents


def test_one_more_item_that_costs_nothing_gives_the_next_version() -> None:
    stay = make_intake()
    make_item(intake=stay)
    free = {"labor_low_minutes": 0, "labor_likely_minutes": 0, "labor_high_minutes": 0}
    estimate(stay)
    make_item(intake=stay, **free)
    assert estimate(stay).number == 2


def test_a_stay_without_items_is_estimated_at_nothing() -> None:
    made = estimate(make_intake())
    assert (made.p50_cents, made.p80_cents, made.p80_minutes) == (0, 0, 0)
