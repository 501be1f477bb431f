"""What is done to equipment, and what is refused."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from shared.audit.models import Event
from shared.dates import full_date
from tests.factories import make_bay, make_program, make_user
from tests.vehicles.shop.rows import DAY, make_piece, today
from vehicles.models import Equipment, EquipmentInspection
from vehicles.shop import keeping
from vehicles.shop.duty import next_due
from vehicles.shop.kinds import EquipmentKind
from vehicles.shop.values import Inspected

pytestmark = pytest.mark.django_db


def refused(action: Any, **arguments: Any) -> list[str]:
    """Return what an action refuses with; nothing that it touches may have changed."""
    before = list(Equipment.objects.values()), EquipmentInspection.objects.count()
    with pytest.raises(ValidationError) as refusal:
        action(by=make_user(), **arguments)
    assert (list(Equipment.objects.values()), EquipmentInspection.objects.count()) == before
    return refusal.value.messages


def inspect(piece: Equipment, **fields: Any) -> EquipmentInspection:
    key = fields.pop("client_key", None)
    values: dict[str, Any] = {"on": today(), "by_name": "Fenwick Lift Service"}
    said = Inspected(**values | fields)
    return keeping.record_inspection(equipment=piece, said=said, client_key=key, by=make_user())


def add(**fields: Any) -> Equipment:
    values = {
        "name": "Floor jack",
        "kind": EquipmentKind.JACK,
        "bay": None,
        "interval_months": 6,
        "inspected_on": today(),
        "due_on": today() + 30 * DAY,
    }
    return keeping.add_equipment(program=make_program(), by=make_user(), **values | fields)


def tag(piece: Equipment, because: str = "The lock slips.") -> Equipment:
    return keeping.tag_out(equipment=piece, because=because, by=make_user())


def about(piece: Equipment) -> list[str]:
    return [event.what for event in Event.objects.about("equipment", piece.pk)]


def test_equipment_comes_on_the_list() -> None:
    jack = add()
    assert (jack.kind, jack.interval_months) == ("jack", 6)
    assert about(jack) == ["Equipment was put on the list."]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"inspected_on": 1, "due_on": 9}, "{1}, has not come yet."),
        ({"inspected_on": 0, "due_on": 0}, "The next inspection is due after {0}."),
        ({"inspected_on": -3, "due_on": -9}, "The next inspection is due after {-3}."),
    ],
)
def test_days_that_can_not_be_are_refused(fields: dict[str, int], sentence: str) -> None:
    days = {name: today() + number * DAY for name, number in fields.items()}
    with pytest.raises(ValidationError) as refusal:
        add(**days)
    number = int(sentence[sentence.index("{") + 1 : sentence.index("}")])
    said = sentence.replace(f"{{{number}}}", full_date(today() + number * DAY))
    assert refusal.value.messages == [said]
    assert Equipment.objects.count() == 0


def test_the_next_inspection_is_no_further_off_than_the_interval() -> None:
    last = next_due(today(), 6)
    assert add(due_on=last).due_on == last
    with pytest.raises(ValidationError) as refusal:
        add(name="Other jack", due_on=last + DAY)
    assert refusal.value.messages == [
        "Other jack is inspected every 6 months: the next one is due by " + full_date(last) + "."
    ]


def test_two_pieces_in_service_are_told_apart_by_their_names() -> None:
    add()
    with pytest.raises(ValidationError) as refusal:
        add()
    assert refusal.value.messages == ["Floor jack is on the list. Tell the two apart by name."]
    keeping.retire(equipment=Equipment.objects.get(), because="Bent", version=1, by=make_user())
    assert add().retired_on is None


def test_a_change_is_written_with_the_names_of_its_fields() -> None:
    lift, bay = make_piece(), make_bay()
    keeping.edit_equipment(
        equipment=lift, version=1, name="Lift", bay=bay, interval_months=12, by=make_user()
    )
    lift.refresh_from_db()
    assert (lift.name, lift.bay, lift.version) == ("Lift", bay, 2)
    assert Event.objects.get().fields == ["name", "bay"]
    assert refused(keeping.edit_equipment, equipment=lift, version=1, name="Again") == [
        keeping.CHANGED
    ]


def test_an_inspection_that_passes_sets_the_next_due_day() -> None:
    lift = make_piece(due_on=today() - DAY)
    row = inspect(lift, paper="F-118")
    lift.refresh_from_db()
    assert lift.due_on == row.next_due_on == next_due(today(), 12)
    assert (lift.inspected_on, lift.tagged_out, lift.version) == (today(), False, 2)
    assert about(lift) == ["An inspection was recorded: passed."]


def test_a_certificate_may_ask_for_less_than_the_interval() -> None:
    lift = make_piece()
    inspect(lift, next_due_on=today() + 90 * DAY)
    lift.refresh_from_db()
    assert lift.due_on == today() + 90 * DAY


def test_an_inspection_that_fails_tags_the_piece_out_at_once() -> None:
    lift = make_piece()
    row = inspect(lift, passed=False, note="The lock slips.", next_due_on=today() + 9 * DAY)
    lift.refresh_from_db()
    assert (lift.tagged_out, row.next_due_on) == (True, None)
    assert lift.tagged_out_because == (
        f"It failed its inspection on {full_date(today())}. The lock slips."
    )
    assert (lift.due_on, lift.tagged_out_by) == (today() + 300 * DAY, row.recorded_by)
    assert about(lift) == ["It was tagged out.", "An inspection was recorded: failed."]


def test_an_inspection_recorded_late_is_only_history() -> None:
    lift = make_piece()
    inspect(lift)
    inspect(lift, on=today() - 200 * DAY, passed=False)
    lift.refresh_from_db()
    assert (lift.inspected_on, lift.tagged_out) == (today(), False)
    assert EquipmentInspection.objects.count() == 2


def test_a_tag_stays_on_when_an_inspection_passes() -> None:
    lift = make_piece()
    tag(lift)
    inspect(lift)
    lift.refresh_from_db()
    assert (lift.tagged_out, lift.tagged_out_because) == (True, "The lock slips.")


def test_an_inspection_sent_twice_is_recorded_once() -> None:
    lift, key = make_piece(), uuid4()
    assert inspect(lift, client_key=key) == inspect(lift, client_key=key)
    lift.refresh_from_db()
    assert (EquipmentInspection.objects.count(), lift.version) == (1, 2)
    said = Inspected(on=today(), by_name="Somebody", passed=False)
    told = refused(keeping.record_inspection, equipment=lift, said=said, client_key=key)
    assert told == ["This form was sent already. Open the page again."]


@pytest.mark.parametrize("ahead", [1, 400])
def test_an_inspection_of_a_day_to_come_is_refused(ahead: int) -> None:
    day = today() + ahead * DAY
    said = Inspected(on=day, by_name="Somebody")
    assert refused(keeping.record_inspection, equipment=make_piece(), said=said) == [
        f"{full_date(day)}, has not come yet."
    ]


def test_a_next_inspection_before_this_one_is_refused() -> None:
    said = Inspected(on=today(), by_name="Somebody", next_due_on=today())
    assert refused(keeping.record_inspection, equipment=make_piece(), said=said) == [
        f"The next inspection is due after {full_date(today())}."
    ]


def test_anybody_tags_out_and_the_same_reason_again_changes_nothing() -> None:
    lift = make_piece()
    tag(lift)
    tag(lift)
    lift.refresh_from_db()
    assert (lift.tagged_out, lift.version) == (True, 2)
    assert lift.tagged_out_at is not None
    assert Event.objects.get().reason == "The lock slips."


@pytest.mark.parametrize(
    ("because", "sentence"),
    [
        ("  ", "Say what is wrong with it."),
        ("It leaks", "Two-post lift is tagged out already: The lock slips."),
    ],
)
def test_a_tag_needs_a_reason_and_keeps_its_first(because: str, sentence: str) -> None:
    lift = tag(make_piece())
    assert refused(keeping.tag_out, equipment=lift, because=because) == [sentence]


def test_a_repaired_piece_goes_back_into_use() -> None:
    lift = tag(make_piece())
    keeping.put_back(equipment=lift, because="New lock", version=2, by=make_user())
    lift.refresh_from_db()
    assert (lift.tagged_out, lift.tagged_out_because, lift.tagged_out_by) == (False, "", None)
    assert Event.objects.about("equipment", lift.pk)[0].reason == "New lock"


def test_nothing_goes_back_into_use_before_it_is_in_date_and_has_passed() -> None:
    whole = make_piece(name="Whole")
    overdue = tag(make_piece(name="Late", due_on=today() - DAY))
    failed = make_piece(name="Bad")
    inspect(failed, passed=False)
    failed.refresh_from_db()
    back = {"because": "Looked at it"}
    assert refused(keeping.put_back, equipment=whole, version=1, **back) == [
        "Whole is not tagged out."
    ]
    assert refused(keeping.put_back, equipment=overdue, version=2, **back) == [
        f"Late was due on {full_date(today() - DAY)}. Record an inspection that it passes."
    ]
    assert refused(keeping.put_back, equipment=failed, version=failed.version, **back) == [
        f"Bad failed its inspection on {full_date(today())}. Record one that it passes."
    ]
    assert refused(keeping.put_back, equipment=overdue, version=1, **back) == [keeping.CHANGED]


def test_what_failed_goes_back_after_it_has_passed() -> None:
    lift = make_piece()
    inspect(lift, passed=False)
    inspect(lift)
    lift.refresh_from_db()
    keeping.put_back(equipment=lift, because="New lock", version=lift.version, by=make_user())
    assert not Equipment.objects.get().tagged_out


def test_it_is_said_what_was_done_before_a_piece_goes_back() -> None:
    lift = tag(make_piece())
    assert refused(keeping.put_back, equipment=lift, because=" ", version=2) == [
        "Say what was done to it."
    ]


def test_a_retired_piece_stays_on_record_and_takes_nothing_more() -> None:
    lift = make_piece()
    assert refused(keeping.retire, equipment=lift, because="", version=1) == [
        "Say why it is retired."
    ]
    keeping.retire(equipment=lift, because="Sold", version=1, by=make_user())
    lift.refresh_from_db()
    gone = [f"Two-post lift is retired since {full_date(today())}."]
    said = Inspected(on=today(), by_name="Somebody")
    assert lift.retired_on == today()
    assert refused(keeping.retire, equipment=lift, because="Sold", version=2) == gone
    assert refused(keeping.tag_out, equipment=lift, because="Bent") == gone
    assert refused(keeping.record_inspection, equipment=lift, said=said) == gone
    assert refused(keeping.edit_equipment, equipment=lift, version=2, name="Lift") == gone
    assert refused(keeping.put_back, equipment=lift, because="x", version=2) == gone
