"""Items are added, put in order, and done."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.roles import RoleKind
from shared.models import Event, Job
from tests.factories import (
    TODAY,
    make_finding,
    make_intake,
    make_item,
    make_need,
    make_user,
)
from vehicles.models import Prerequisite, RepairItem
from vehicles.repairs.actions import (
    add_item,
    mark_done,
    require_first,
    withdraw_items,
)

if TYPE_CHECKING:
    from django.db.models import Model

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
    return mark_done(item=item, on=on, by=make_user(RoleKind.TECHNICIAN))


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


def test_the_same_work_is_not_added_twice() -> None:
    stay = make_intake()
    item = add(stay, [])
    with pytest.raises(ValidationError) as refusal:
        add(stay, [], title=f" {item.title.upper()} ")
    assert refusal.value.message_dict == {
        "title": [f"“{item.title.upper()}” is on the list already."]
    }
    assert RepairItem.objects.count() == 1


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


def test_adding_and_doing_ask_for_new_ranks() -> None:
    item = add(make_intake(), [])
    assert Job.objects.get().kind == "rank_items"
    Job.objects.all().delete()
    done(item)
    assert Job.objects.get().kind == "rank_items"


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


def test_all_open_work_of_a_stay_is_withdrawn_with_its_needs() -> None:
    stay, user = make_intake(), make_user()
    finding = make_finding(intake=stay)
    item = make_item(intake=stay, findings=[finding])
    need, filled = make_need(item=item), make_need(item=item, state="filled")
    done = make_item(intake=stay, title="Wipers", state="done", done_on=TODAY)
    other = make_need()
    assert withdraw_items(intake=stay, because=" Beyond repair. ", by=user) == 1
    for row in (item, need, filled, done, other, finding):
        row.refresh_from_db()
    assert (item.state, item.withdrawn_because, item.version) == ("withdrawn", "Beyond repair.", 2)
    assert (need.state, need.version, filled.state) == ("withdrawn", 2, "filled")
    assert (done.state, other.state, finding.cleared_on) == ("done", "open", None)
    assert lines(item) == ["The item was withdrawn."]
    assert withdraw_items(intake=stay, because="Again.", by=user) == 0


def a_killed_gasket() -> tuple[Finding, Finding]:
    """Return a fan that stands still and the gasket that it warped."""
    killer = make_finding(title="Fan stands still")
    return killer, make_finding(intake=killer.intake, title="Gasket leaks", caused_by=killer)


def test_what_was_killed_is_not_done_before_what_killed_it() -> None:
    killer, killed = a_killed_gasket()
    gasket = make_item(intake=killer.intake, title="Head gasket", findings=[killed])
    make_item(intake=killer.intake, title="Fan motor", findings=[killer])
    with pytest.raises(ValidationError) as refusal:
        done(gasket)
    assert refusal.value.messages == [
        "“Fan motor” repairs the cause, and has to be done before “Head gasket”."
    ]


def test_what_was_killed_is_not_done_while_nobody_repairs_the_killer() -> None:
    killer, killed = a_killed_gasket()
    gasket = make_item(intake=killer.intake, title="Head gasket", findings=[killed])
    with pytest.raises(ValidationError) as refusal:
        done(gasket)
    [sentence] = refusal.value.messages
    assert sentence == (
        "“Fan stands still” brought this about and is not repaired. "
        "Add its repair first, or withdraw that finding with a reason."
    )


def test_one_job_that_clears_cause_and_effect_waits_for_nothing() -> None:
    killer, killed = a_killed_gasket()
    both = make_item(intake=killer.intake, title="Both", findings=[killer, killed])
    done(both)
    both.refresh_from_db()
    assert both.state == "done"
