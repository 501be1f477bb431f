"""Items are changed, given findings, withdrawn, opened again, and done only by who may."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shared.accounts.roles import RoleKind
from shared.models import Event, User
from shared.people.may import REFRIGERANT, work_on
from tests.factories import (
    TODAY,
    make_finding,
    make_intake,
    make_item,
    make_need,
    make_person,
    make_user,
)
from tests.vehicles.repairs.offered import read
from vehicles.models import Reading
from vehicles.repairs.actions import (
    CHANGED,
    attach_finding,
    edit_item,
    mark_done,
    reopen_item,
    withdraw_item,
)
from vehicles.repairs.queries import acts_of
from vehicles.repairs.writing import PartLine

if TYPE_CHECKING:
    from vehicles.models import RepairItem

pytestmark = pytest.mark.django_db
ENDED = "This stay has ended. Open a new intake to work on the car again."


def said(action: Any, **arguments: Any) -> list[str]:
    with pytest.raises(ValidationError) as refusal:
        action(**{"by": make_user(RoleKind.TECHNICIAN)} | arguments)
    return refusal.value.messages


def edit(item: RepairItem, **fields: Any) -> RepairItem:
    given: dict[str, Any] = {
        "title": item.title,
        "version": item.version,
        "findings": [],
        "parts": [],
        "by": make_user(),
    }
    return edit_item(item=item, **given | fields)


def able(*skills: str) -> User:
    user = make_user(RoleKind.TECHNICIAN, person=False)
    person = make_person(program=user.program, user=user, name="S. Voss")
    for code in skills:
        person.skills.create(program=person.program, code=code, since_on=TODAY)
    return user


# ---- changed ----


def test_an_item_is_changed_with_its_findings_and_parts() -> None:
    item = make_item()
    finding, need = make_finding(intake=item.intake), make_need(item=item)
    parts = [PartLine(need_id=need.pk, quantity=3, price_cents=100)]
    found = edit(item, title=" Tires ", labor_high_minutes=95, findings=[finding], parts=parts)
    assert (found.title, found.labor_high_minutes, found.version) == ("Tires", 95, 2)
    assert list(found.findings.all()) == [finding]
    assert found.needs.get().quantity == 3
    assert Event.objects.about("repairitem", item.pk).get().what == "The item was changed."


def test_a_stale_page_changes_nothing() -> None:
    item = make_item()
    edit(item, title="Tires")
    assert said(edit, item=item, title="Wheels") == [CHANGED]
    item.refresh_from_db()
    assert item.title == "Tires"


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"labor_low_minutes": 75}, "Minutes go from low over likely to high, 60,000 at most."),
        ({"sublet_cents": -5}, "A cost can't be negative."),
        ({"title": "wipers"}, "“wipers” is on the list already."),
        ({"title": ""}, "This field cannot be blank."),
    ],
)
def test_a_change_that_is_not_possible_is_refused(fields: dict[str, Any], sentence: str) -> None:
    item = make_item()
    make_item(intake=item.intake, title="Wipers")
    assert said(edit, item=item, **fields) == [sentence]


def test_a_finding_of_another_stay_is_not_given_to_an_item() -> None:
    item, finding = make_item(), make_finding()
    sentence = ["A finding of another stay can't be cleared here."]
    assert said(edit, item=item, findings=[finding]) == sentence
    assert said(attach_finding, item=item, finding=finding) == sentence


def test_a_finding_is_given_to_an_open_item_once() -> None:
    item = make_item()
    finding = make_finding(intake=item.intake)
    for _ in range(2):
        found = attach_finding(item=item, finding=finding, by=make_user())
    assert (list(item.findings.all()), found.version) == ([finding], 2)
    finding.cleared_on = TODAY
    finding.save()
    assert said(attach_finding, item=item, finding=finding) == [
        "“Front tire: tread 1/32 in” is not open any more."
    ]


# ---- withdrawn, opened again ----


def test_an_item_is_withdrawn_with_a_reason_and_its_needs() -> None:
    item = make_item(findings=[])
    need = make_need(item=item)
    found = withdraw_item(item=item, because=" Not worn. ", by=make_user(), version=1)
    need.refresh_from_db()
    assert (found.state, found.withdrawn_because, need.state) == (
        "withdrawn",
        "Not worn.",
        "withdrawn",
    )
    assert said(withdraw_item, item=item, because="Again.", version=2) == [
        "“Two front tires” is withdrawn already."
    ]


@pytest.mark.parametrize(
    ("because", "version", "sentence"),
    [
        ("  ", 1, "Say why it is not to be done."),
        ("x" * 201, 1, "Say it in 200 characters at most."),
        ("Not worn.", 7, CHANGED),
    ],
)
def test_an_item_is_not_withdrawn(because: str, version: int, sentence: str) -> None:
    item = make_item()
    assert said(withdraw_item, item=item, because=because, version=version) == [sentence]
    item.refresh_from_db()
    assert item.state == "open"


def test_a_finding_read_better_meanwhile_goes_with_its_last_item() -> None:
    stay = make_intake()
    better, still = read(stay), read(stay, at="RF")
    Reading.objects.filter(finding=better).update(replaced_at=timezone.now())
    items = [make_item(intake=stay, title=name, findings=[better, still]) for name in "ab"]
    withdraw_item(item=items[0], because="Not worn.", by=make_user(), version=1)
    better.refresh_from_db()
    assert better.withdrawn_because == ""
    withdraw_item(item=items[1], because="Not worn.", by=make_user(), version=1)
    for row in (better, still):
        row.refresh_from_db()
    assert (better.withdrawn_because, still.withdrawn_because) == ("The point was read again.", "")


def test_what_was_done_by_mistake_is_open_again_with_findings_and_needs() -> None:
    stay = make_intake()
    finding = make_finding(intake=stay)
    item = make_item(intake=stay, findings=[finding])
    need = make_need(item=item)
    user = make_user(RoleKind.TECHNICIAN)
    done = mark_done(item=item, on=TODAY, by=user, took_minutes=75, cost_cents=0)
    assert (done.took_minutes, done.cost_cents) == (75, 0)
    found = reopen_item(item=item, because="The left one is left.", by=make_user())
    for row in (finding, need):
        row.refresh_from_db()
    assert (found.state, found.done_on, found.version) == ("open", None, 3)
    assert (finding.cleared_on, need.state) == (None, "open")
    assert (found.took_minutes, found.cost_cents) == (None, None)
    assert said(reopen_item, item=item, because="Again.") == ["“Two front tires” is not done."]


def test_an_item_is_not_opened_again_without_a_reason() -> None:
    item = make_item(state="done", done_on=TODAY)
    assert said(reopen_item, item=item, because=" ") == ["Say why it is not done."]


def test_what_is_on_the_list_anew_is_not_opened_beside_it() -> None:
    item = make_item(state="done", done_on=TODAY)
    make_item(intake=item.intake)
    assert said(reopen_item, item=item, because="Not done.") == [
        "“Two front tires” is on the list already."
    ]


def test_an_ended_stay_stays_as_it_is() -> None:
    item = make_item(intake=make_intake(left_on=TODAY))
    finding = make_finding(intake=item.intake)
    assert said(edit, item=item) == [ENDED]
    assert said(withdraw_item, item=item, because="x", version=1) == [ENDED]
    assert said(reopen_item, item=item, because="x") == [ENDED]
    assert said(attach_finding, item=item, finding=finding) == [ENDED]


# ---- who may ----


def test_no_work_is_done_before_an_owner_has_said_yes_to_repair() -> None:
    item = make_item(intake=make_intake(consents=("diagnose",)))
    [sentence] = said(mark_done, item=item, on=TODAY)
    assert "repair" in sentence
    item.refresh_from_db()
    assert item.state == "open"


def test_nobody_works_on_brakes_who_is_not_signed_off_for_them() -> None:
    item = make_item(system="brakes")
    assert said(mark_done, item=item, on=TODAY, by=able("tires")) == [
        "S. Voss is not signed off for brakes."
    ]
    assert mark_done(item=item, on=TODAY, by=able("brakes")).state == "done"


def test_under_a_raised_car_the_lift_has_to_be_signed_off() -> None:
    item = make_item(needs_lift=True)
    assert said(mark_done, item=item, on=TODAY, by=able("tires")) == [
        "S. Voss is not signed off for the lift."
    ]


def test_somebody_of_the_office_marks_no_work_done() -> None:
    user = make_user(RoleKind.COORDINATOR)
    assert said(mark_done, item=make_item(), on=TODAY, by=user) == [
        f"{user} is not on the list of people who work in the shop."
    ]


def test_an_operation_brings_its_own_skills() -> None:
    """40 CFR 82.34(a): who opens the air conditioning is certified for it."""
    item = make_item(system="heating", operation="ac-recharge")
    assert acts_of(item) == (work_on("heating"), REFRIGERANT)
