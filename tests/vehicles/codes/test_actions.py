"""Recording, clearing and withdrawing readings of trouble codes.

That codes wait for the battery, and are written down before they are cleared, is common practice,
no source.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.roles import RoleKind
from shared.models import Event
from tests.factories import TODAY, make_intake, make_scan, make_user
from vehicles.codes.actions import DOUBTFUL, record_clearing, record_scan, withdraw_scan
from vehicles.codes.kinds import Lamp
from vehicles.codes.values import CodesRead
from vehicles.custody.acts import Act
from vehicles.models import CodeScan, Finding, TroubleCode

if TYPE_CHECKING:
    from vehicles.models import Intake

pytestmark = pytest.mark.django_db


def read(stay: Intake, pasted: str = "", **fields: Any) -> CodeScan:
    """Record one reading by a technician who may do everything."""
    by = fields.pop("by", None) or make_user(RoleKind.TECHNICIAN, program=stay.program)
    client_key = fields.pop("client_key", None)
    typed = CodesRead(pasted=pasted, **fields)
    return record_scan(intake=stay, read=typed, client_key=client_key, by=by)


def refused(act: Any, **fields: Any) -> dict[str, list[str]]:
    """Return what is refused, by field; no reading is recorded or changed then."""
    before = list(CodeScan.objects.values())
    with pytest.raises(ValidationError) as refusal:
        act(**fields)
    assert list(CodeScan.objects.values()) == before
    error = refusal.value
    return error.message_dict if hasattr(error, "error_dict") else {"": error.messages}


def refused_reading(pasted: str = "", **fields: Any) -> dict[str, list[str]]:
    stay = fields.pop("stay", None) or make_intake()
    return refused(lambda: read(stay, pasted, **fields))


def test_a_reading_keeps_what_was_typed_and_each_code_as_the_table_says_it() -> None:
    scan = read(
        make_intake(), "P0301 pending\r\nP1345", volts="12.65 V", freeze_frame=" 62 mph\r\n"
    )
    assert (scan.pasted, scan.battery_volts, scan.freeze_frame) == (
        "P0301 pending\nP1345",
        "12.65",
        "62 mph",
    )
    kept = scan.codes.values_list("code", "storage", "meaning", "severity", "source", "seen")
    assert list(kept) == [
        ("P0301", "pending", "misfire, cylinder 1", "fix-before-return", "python-OBD table", True),
        ("P1345", "", "", "", "", False),
    ]


def test_signs_of_danger_raise_each_code_and_stay_in_the_note() -> None:
    scan = read(
        make_intake(),
        "P0301 P0420 P1345",
        lamp=Lamp.FLASHING,
        signs=frozenset({"smoke"}),
        note="On the hill.",
    )
    assert list(scan.codes.values_list("severity", flat=True)) == [
        "stop-driving",
        "soon",
        "fix-before-return",
    ]
    assert scan.note == (
        "Every code counts one step worse: the check-engine lamp flashes, smoke. On the hill."
    )


def test_all_modules_read_and_no_code_is_a_fact() -> None:
    scan = read(make_intake(), "No codes found", complete=True, signs=frozenset({"fuel_smell"}))
    assert (scan.codes.count(), scan.complete) == (0, True)
    assert scan.note == "Seen with it: smell of fuel."


def test_a_code_makes_no_finding() -> None:
    read(make_intake(), "P0217", lamp=Lamp.FLASHING)
    assert Finding.objects.count() == 0


def test_nothing_read_and_not_all_modules_is_refused() -> None:
    sentence = (
        "No code was read. Type the codes as the tool shows them, or say that all modules were "
        "read and none has one."
    )
    assert refused_reading() == {"pasted": [sentence]}
    assert refused_reading("nothing here") == {"pasted": [sentence]}


def test_what_is_nearly_a_code_is_asked_about_and_never_changed() -> None:
    stay, text = make_intake(), "P0301\nPO128"
    sentence = "Line 2: “PO128” is not a code. Is it P0128?"
    assert refused_reading(text, stay=stay) == {"pasted": [sentence]}
    scan = read(stay, text, as_it_is=True)
    assert [one.code for one in scan.codes.all()] == ["P0301"]
    assert scan.pasted == text


def test_a_list_with_only_a_doubtful_code_never_stands_for_no_code() -> None:
    with pytest.raises(ValidationError) as refusal:
        read(make_intake(), "PO128", complete=True, as_it_is=True)
    assert [error.code for error in refusal.value.error_dict["pasted"]] == [DOUBTFUL]


def test_two_hundred_codes_are_read_and_one_more_is_refused() -> None:
    codes = [f"P{number:04}" for number in range(1, 202)]
    assert read(make_intake(), " ".join(codes[:200])).codes.count() == 200
    assert refused_reading(" ".join(codes)) == {
        "pasted": ["201 codes are too many for one reading. Paste at most 200."]
    }


def test_more_than_20_000_characters_are_refused() -> None:
    assert refused_reading("P0301 " * 3_334) == {
        "pasted": ["Paste at most 20,000 characters: the codes, not the whole report."]
    }


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("40", "40 V is not possible. Type 0 to 20 V."),
        ("-1", "-1 V is not possible. Type 0 to 20 V."),
        ("good", "“good” is not a number."),
        ("12 mm", "A number in millimeters can't be turned into volts."),
    ],
)
def test_a_voltage_that_no_car_has_is_refused(typed: str, sentence: str) -> None:
    assert refused_reading("P0301", volts=typed) == {"volts": [sentence]}


def test_a_stay_that_has_ended_takes_no_codes() -> None:
    stay = make_intake(left_on=TODAY)
    assert refused_reading("P0301", stay=stay)[""][0].startswith("This stay ended on ")


def test_nobody_reads_codes_of_a_car_whose_owner_did_not_agree() -> None:
    stay = make_intake(consents=[act for act in Act if act is not Act.DIAGNOSE])
    (sentence,) = refused_reading("P0301", stay=stay)[""]
    assert sentence.startswith("No owner has consented to the diagnosis")


def test_only_who_may_inspect_reads_codes() -> None:
    stay = make_intake()
    jonas = make_user(RoleKind.TREASURER, program=stay.program)
    assert refused_reading("P0301", stay=stay, by=jonas) == {
        "": [f"{jonas} is not on the list of people who work in the shop."]
    }


def test_a_reading_sent_twice_is_recorded_once() -> None:
    stay, key = make_intake(), uuid4()
    by = make_user(RoleKind.TECHNICIAN, program=stay.program)
    first = read(stay, "P0301", client_key=key, by=by)
    assert read(stay, "P0301", client_key=key, by=by) == first
    assert TroubleCode.objects.count() == 1
    assert refused_reading("P0420", stay=stay, client_key=key, by=by) == {
        "": ["This form was sent already. Open the page again, then type the codes."]
    }


def test_the_log_names_no_code() -> None:
    stay = make_intake()
    read(stay, "P0301")
    event = Event.objects.about("intake", stay.pk).get()
    assert (event.what, event.fields) == ("Trouble codes were read.", ["codes"])


def test_clearing_is_recorded_once_with_who_did_it() -> None:
    scan = read(make_intake(), "P0301")
    first, second = (make_user(RoleKind.TECHNICIAN, program=scan.program) for _ in range(2))
    cleared = record_clearing(scan=scan, by=first)
    again = record_clearing(scan=scan, by=second)
    assert again.cleared_at == cleared.cleared_at is not None
    assert again.cleared_by == first


def test_clearing_is_recorded_beside_the_newest_reading() -> None:
    stay = make_intake()
    old = make_scan(stay, "P0301", at=dt.datetime(2026, 11, 1, tzinfo=dt.UTC))
    new = read(stay, "P0301")
    by = make_user(RoleKind.TECHNICIAN, program=stay.program)
    assert refused(record_clearing, scan=old, by=by) == {
        "": ["This reading is not the newest. Record the clearing beside what was read last."]
    }
    withdraw_scan(scan=new, because="Another car", by=by)
    assert record_clearing(scan=old, by=by).cleared_by == by


def test_a_withdrawn_reading_stays_with_its_reason() -> None:
    scan = read(make_intake(), "P0301")
    by = make_user(RoleKind.TECHNICIAN, program=scan.program)
    assert refused(withdraw_scan, scan=scan, because="  ", by=by) == {
        "because": ["Say why this reading is withdrawn."]
    }
    row = withdraw_scan(scan=scan, because=" Read from another car ", by=by)
    assert (row.withdrawn_because, row.codes.count()) == ("Read from another car", 1)
    again = withdraw_scan(scan=scan, because="Another reason", by=by)
    assert again.withdrawn_because == "Read from another car"


@pytest.mark.parametrize("act", [record_clearing, withdraw_scan])
def test_nothing_changes_once_the_stay_has_ended(act: Any) -> None:
    scan = read(make_intake(), "P0301")
    by = make_user(RoleKind.TECHNICIAN, program=scan.program)
    scan.intake.left_on = TODAY
    scan.intake.save()
    fields = {"because": "Wrong"} if act is withdraw_scan else {}
    assert refused(act, scan=scan, by=by, **fields)[""][0].startswith("This stay ended on ")
