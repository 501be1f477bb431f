from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import uuid4

import pytest
from django.utils import timezone

from program.cases.models import Case
from program.desk.gathering import case_file
from program.ledger.models import Commitment
from program.planning.models import Pin
from program.status.actions import ask_question, give_page, take_page_back
from program.status.queries import with_parts
from shared.audit.actions import log_event
from shared.outbox.models import Address
from sponsors.matching.models import Reservation
from tests.factories import (
    make_case,
    make_entry,
    make_finding,
    make_fund,
    make_household,
    make_item,
    make_need,
    make_pledge,
    make_sponsor,
    make_user,
)
from tests.program.status.making import make_told_case
from vehicles.repairs.models import Need, RepairItem

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from program.desk.gathering import CaseFile

pytestmark = pytest.mark.django_db


def file_of(case: Case) -> CaseFile:
    return case_file(with_parts(Case.objects.all()).get(pk=case.pk))


def test_the_string_hangs_where_the_household_is() -> None:
    file = file_of(make_case(household=make_household(stage="deciding")))
    assert [(knot.label, knot.state) for knot in file.string[2:5]] == [
        ("Accepted", "done"),
        ("Deciding", "now"),
        ("Waiting", "next"),
    ]
    assert file.string[3].note == "since Nov 10"


def test_a_way_out_stands_alone() -> None:
    file = file_of(make_case(household=make_household(stage="declined")))
    assert [(knot.label, knot.state) for knot in file.string] == [("Declined", "now")]


def test_findings_stand_by_class_and_items_by_rank() -> None:
    case = make_told_case()
    stay = file_of(case).stay
    make_finding(intake=stay, deficiency="minor", title="Wiper")
    make_finding(intake=stay, title="Tread")
    make_finding(intake=stay, title="Gone", withdrawn_because="Read wrongly")
    make_item(intake=stay, title="Wiper blades", tier=3)
    make_item(intake=stay, title="Brake shoes", tier=0, index_tenths=900)
    file = file_of(case)
    assert [finding.title for finding in file.findings] == ["Tread", "Wiper"]
    assert [item.title for item in file.items] == [
        "Brake shoes",
        "Two front tires",
        "Wiper blades",
    ]


def test_a_part_names_who_gave_what_is_kept_for_it() -> None:
    case = make_told_case()
    need = Need.objects.get()
    make_need(item=need.item, title="Thermostat")
    pledge = make_pledge(sponsor=make_sponsor(name="Dell Hollow Brake Supply"))
    Reservation.objects.create(
        program=case.program,
        supply=pledge.units.get(),
        need=need,
        made_for="test",
        because="It fits.",
    )
    rows = [(row.title, row.kept, row.state) for row in file_of(case).parts]
    assert rows == [
        ("Radiator", "Dell Hollow Brake Supply", "promised"),
        ("Thermostat", "", "missing"),
    ]
    Need.objects.filter(pk=need.pk).update(state="filled")
    assert file_of(case).parts[0].state == "fitted"


def test_what_is_set_aside_is_apart_from_what_was_paid() -> None:
    case, fund = make_told_case(), make_fund(name="Pruitt gift")
    entry = make_entry(("1000", "2000", 4_500, fund), key="plan:1")
    item = RepairItem.objects.get()
    Commitment.objects.create(
        program=case.program,
        cause="plan:1",
        case=case,
        item_id=item.pk,
        fund=fund,
        cents=4_500,
        entry=entry,
    )
    paid = make_entry(key="bill:1", what="Two tires")
    paid.transfers.create(
        program=case.program, debit="5000", credit="1000", cents=9_900, fund=fund, case=case
    )
    file = file_of(case)
    assert [(row.what, row.fund, row.cents) for row in file.set_aside] == [
        ("Two front tires", "Pruitt gift", 4_500)
    ]
    assert [(row.what, row.cents) for row in file.paid] == [("Two tires", 9_900)]


def test_the_timeline_holds_what_was_done_on_case_household_and_car() -> None:
    case, user = make_told_case(), make_user(first_name="Ines", last_name="Voss")
    log_event(case, "The case was opened.", by=user)
    log_event(case.household, "Asked how to reach them.", by=None, reason="On the phone")  # type: ignore[arg-type]
    log_event(RepairItem.objects.get(), "The item was added.", by=user)
    log_event(make_case(), "Something else.", by=user)
    assert [(line.sentence, line.by) for line in file_of(case).lines] == [
        ("The item was added.", "Ines Voss"),
        ("Asked how to reach them. (On the phone)", "Handback"),
        ("The case was opened.", "Ines Voss"),
    ]


def test_the_link_is_shown_while_it_is_open_and_the_rule_allows_it() -> None:
    case = make_told_case()
    assert file_of(case).link_url == ""
    give_page(case=case, by=make_user())
    assert "/car/" in file_of(case).link_url
    Address.objects.update(barred=True)
    file = file_of(case)
    assert (file.link_url, [str(reason) for reason in file.link_barriers]) == (
        "",
        ["Contact could put a person in danger."],
    )
    Address.objects.update(barred=False)
    take_page_back(case=case, reason="Lost", by=make_user())
    assert file_of(case).link_url == ""


def test_the_pin_that_stands_is_shown() -> None:
    case = make_case()
    rows = {"program": case.program, "case": case, "by": make_user()}
    Pin.objects.create(direction="in", reason="Promised", ended_at=timezone.now(), **rows)
    assert file_of(case).pin is None
    pin = Pin.objects.create(direction="out", reason="The owner asked", **rows)
    assert file_of(case).pin == pin


def test_a_case_without_a_car_has_no_stay() -> None:
    case = make_case()
    Case.objects.update(vehicle=None)
    file = file_of(case)
    assert (file.stay, file.findings, file.items, file.parts) == (None, [], [], [])


def test_a_file_costs_the_same_with_one_row_and_with_three(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    case = make_told_case()
    stay = file_of(case).stay
    for _ in range(2):
        make_finding(intake=stay)
        ask_question(case=case, text="When?", client_key=uuid4())
    with django_assert_num_queries(24):
        file_of(case)
    for _ in range(2):
        make_need(item=make_item(intake=stay))
        make_finding(intake=stay)
        ask_question(case=case, text="When?", client_key=uuid4())
    with django_assert_num_queries(24):
        file_of(case)
