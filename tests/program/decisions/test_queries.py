"""What a car comes to, and that work which goes too far is stopped everywhere."""

from __future__ import annotations

from html import unescape
from typing import TYPE_CHECKING

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from program.cases.next_step import next_step
from program.decisions.gathering import advice_of
from program.decisions.queries import ASK, decide_by, open_supplements, stops, works
from program.households.actions import declare_tie
from program.ledger.actions import Event, Line, post_entry
from program.status.queries import facts_of, with_parts
from shared.accounts.roles import RoleKind
from shared.policy.actions import set_policies
from tests.factories import TODAY, make_tow, make_user
from tests.program.decisions.story import (
    add_work,
    ask,
    authorize,
    budget_says,
    make_car,
    make_over,
    make_supplement,
    owner_says,
)
from tests.program.ledger.booking import fund_with
from vehicles.custody.acts import Act
from vehicles.custody.conditions import Step
from vehicles.custody.keeping import move_vehicle
from vehicles.custody.queries import authority
from vehicles.models import RepairItem
from vehicles.repairs.actions import mark_done, withdraw_item

if TYPE_CHECKING:
    from django.test import Client
    from pytest_django import DjangoAssertNumQueries

    from program.models import Case
    from vehicles.models import Intake

pytestmark = pytest.mark.django_db
STOPPED = (
    "The work has stopped: it comes to $150.00, and $100.00 is authorized. More than 10 percent on"
    " top, $110.00, needs a yes of its own."
)


def done(item: RepairItem, **fields: int) -> None:
    """Mark an item done today, with what it took."""
    RepairItem.objects.filter(pk=item.pk).update(
        state="done", done_on=item.program.today(), **fields
    )


def forecast_of(stay: Intake) -> tuple[int, int, int]:
    found = works([stay.pk])[stay.pk].forecast
    return found.spent_cents, found.to_go_cents, found.authorized_cents


def step_of(case: Case) -> str:
    facts = facts_of(list(with_parts(type(case).objects.filter(pk=case.pk))), case.program)
    return str(next_step(facts[case.pk]).staff)


def test_what_is_done_counts_as_it_cost_and_the_rest_as_estimated() -> None:
    case, stay = make_car()
    authorize(case, stay)
    done(stay.items.get(), cost_cents=12_345)
    add_work(stay, 5_000)
    assert forecast_of(stay) == (12_345, 5_000, 10_000)


def test_a_cost_that_nobody_wrote_counts_as_it_was_authorized() -> None:
    case, stay, item = make_over()
    done(stay.items.get(title="Radiator"))
    assert forecast_of(stay) == (10_000, 5_000, 10_000)
    done(item)
    assert forecast_of(stay) == (15_000, 0, 10_000)
    assert case.number


def test_paid_labor_is_spent_by_the_minutes_it_took() -> None:
    case, stay = make_car()
    set_policies(
        program=stay.program, values={"labor_cents_per_hour": 6_000}, because="Set.", by=make_user()
    )
    authorize(case, stay)
    done(stay.items.get(), cost_cents=100_00, took_minutes=90)
    assert forecast_of(stay)[:2] == (190_00, 0)
    assert works([stay.pk])[stay.pk].minutes == 90


def test_work_of_before_the_authorization_is_not_counted() -> None:
    case, stay = make_car()
    early = add_work(stay, 3_000, title="Battery")
    RepairItem.objects.filter(pk=early.pk).update(state="done", done_on="2020-01-01")
    authorize(case, stay)
    assert forecast_of(stay) == (0, 10_000, 10_000)


def test_what_the_books_paid_counts_where_it_is_more() -> None:
    case, stay = make_car()
    authorize(case, stay)
    fund = fund_with(50_000)
    on = case.program.today()
    for key, debit, credit, cents in (
        ("bill:1", "6010", "1010", 20_000),
        ("bill:2", "1010", "6010", 2_000),
    ):
        line = Line(debit=debit, credit=credit, cents=cents, fund=fund, case=case)
        post_entry(
            program=case.program,
            event=Event(key=key, on=on, what="Parts"),
            lines=[line],
            by=make_user(),
        )
    assert forecast_of(stay)[0] == 18_000


def test_work_beyond_the_authorization_is_refused_until_both_agree() -> None:
    _, stay, item = make_over()
    radiator, lead = stay.items.get(title="Radiator"), make_user(RoleKind.LEAD_TECHNICIAN)
    today = stay.program.today()
    with pytest.raises(ValidationError) as refused:
        mark_done(item=radiator, on=today, by=lead)
    assert refused.value.messages == [f"{STOPPED} {ASK}"]
    row = ask(stay, item)
    owner_says(row)
    with pytest.raises(ValidationError):
        mark_done(item=radiator, on=today, by=lead)
    row.refresh_from_db()
    budget_says(row)
    assert mark_done(item=radiator, on=today, by=lead).state == "done"


@pytest.mark.parametrize("step", [Step.REPAIR, Step.SUBLET])
def test_a_car_whose_work_has_stopped_goes_to_no_work(step: Step) -> None:
    _, stay, item = make_over()
    user, car = make_user(), stay.vehicle
    move_vehicle(vehicle=car, step=Step.AWAITING_PARTS, by=user)
    with pytest.raises(ValidationError) as refused:
        move_vehicle(vehicle=car, step=step, by=user)
    assert refused.value.message_dict == {"step": [f"{STOPPED} {ASK}"]}
    budget_says(owner_says(ask(stay, item)))
    assert move_vehicle(vehicle=car, step=step, by=user).step == step


def test_a_car_in_repair_whose_work_stops_may_stand_elsewhere_and_go_on_to_other_steps() -> None:
    _, stay, _ = make_over()
    user, car = make_user(), stay.vehicle
    assert move_vehicle(vehicle=car, step=Step.REPAIR, place="Lot 4", by=user).place == "Lot 4"
    assert move_vehicle(vehicle=car, step=Step.FINAL_INSPECTION, by=user).step == "final_inspection"


def test_the_move_form_says_what_is_missing(client: Client) -> None:
    _, stay, _ = make_over()
    car = stay.vehicle
    move_vehicle(vehicle=car, step=Step.AWAITING_PARTS, by=make_user())
    car.condition.refresh_from_db()
    sent = {"step": "repair", "mobility": "drives", "version": car.condition.version}
    client.force_login(make_user(RoleKind.TECHNICIAN))
    page = client.post(reverse("custody:move_vehicle", args=[stay.pk]), sent, follow=True)
    assert f"{STOPPED} {ASK}" in unescape(page.content.decode())
    car.condition.refresh_from_db()
    assert car.condition.step == "awaiting_parts"


def test_taking_work_off_the_list_lifts_the_stop() -> None:
    _, stay, item = make_over()
    assert list(stops([stay.pk])) == [stay.pk]
    withdraw_item(item=item, because="Not now.", by=make_user(), version=item.version)
    assert stops([stay.pk]) == {}


def test_only_the_repair_stops() -> None:
    _, stay, _ = make_over()
    met = {one.act: one.met for one in authority(stay, stay.program.today())}
    assert met == {Act.DIAGNOSE: True, Act.REPAIR: False, Act.ROAD_TEST: True, Act.STORE: True}


def test_a_car_that_nobody_authorized_goes_on_as_before() -> None:
    _, stay = make_car()
    assert (works([stay.pk]), stops([stay.pk])) == ({}, {})


def test_a_program_whose_law_allows_nothing_stops_at_the_first_cent() -> None:
    case, stay = make_car()
    authorize(case, stay)
    add_work(stay, 1)
    assert stops([stay.pk]) == {}
    set_policies(
        program=stay.program, values={"stop_over_percent": 0}, because="State law.", by=make_user()
    )
    assert list(stops([stay.pk])) == [stay.pk]


def test_the_next_step_names_the_stop_then_the_supplement() -> None:
    case, stay, item = make_over()
    said = "The work has stopped: ask for a supplement, or take work off the list."
    assert step_of(case) == said
    ask(stay, item)
    said = "Answer the supplement: the owner and the budget both say yes or no."
    assert step_of(case) == said


def test_a_supplement_is_answered_within_two_business_days() -> None:
    row = make_supplement()
    row.asked_at = row.asked_at.replace(year=2026, month=11, day=27, hour=17)  # a Friday
    assert decide_by(row).isoformat() == "2026-12-01"


def test_open_supplements_come_oldest_first_and_not_to_the_tied() -> None:
    first, second = make_supplement(), make_supplement()
    user = make_user()
    assert list(open_supplements(user)) == [first, second]
    household = first.authorization.case.household
    assert household
    declare_tie(household=household, user=user, by=make_user())
    assert list(open_supplements(user)) == [second]


def test_the_advice_weighs_what_the_last_tow_cost() -> None:
    case, stay = make_car()
    authorize(case, stay)
    make_tow(stay, cost_cents=12_000, on=TODAY)
    found = advice_of(stay, works([stay.pk])[stay.pk], None)
    assert found
    assert "To return it unrepaired costs about $120.00." in [str(one) for one in found.reasons]


def test_many_stays_cost_as_many_queries_as_one(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    stays = [make_over()[1].pk for _ in range(3)]
    for some in (stays[:1], stays):
        with django_assert_num_queries(9):
            assert len(works(some)) == len(some)
    with django_assert_num_queries(1):
        assert works([0]) == {}
