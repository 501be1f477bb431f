"""The form of one reading."""

from __future__ import annotations

import pytest

from shared.accounts.roles import RoleKind
from tests.factories import make_intake, make_user
from vehicles.codes.actions import record_scan
from vehicles.codes.forms import ScanForm
from vehicles.codes.kinds import Lamp
from vehicles.codes.values import CodesRead

pytestmark = pytest.mark.django_db


def test_lamps_that_were_lit_at_arrival_are_offered_as_signs() -> None:
    form = ScanForm(stay=make_intake(lamps=["engine_flashing", "temperature"]))
    assert (form["lamp"].value(), form["signs"].value()) == ("flashing", ["overheating"])


def test_what_was_typed_is_put_together_as_the_action_takes_it() -> None:
    sent = {"volts": "12.6", "lamp": "off", "signs": ["smoke"], "pasted": "P0301\n\n"}
    form = ScanForm(sent, stay=make_intake(lamps=["temperature"]))
    assert form.is_valid()
    assert form.cleaned_data.keys() == {"client_key", "read"}
    assert form.cleaned_data["read"] == CodesRead(
        volts="12.6", lamp=Lamp.OFF, signs=frozenset({"smoke"}), pasted="P0301\n\n"
    )


def test_a_lamp_that_nobody_answered_for_is_asked_again() -> None:
    form = ScanForm({"pasted": "P0301"}, stay=make_intake())
    assert form.errors == {"lamp": ["Check-engine lamp: an answer is missing."]}


def test_a_list_with_doubts_may_be_recorded_as_it_stands_once_they_were_named() -> None:
    stay = make_intake()
    by = make_user(RoleKind.TECHNICIAN, program=stay.program)
    sent = {"lamp": "off", "pasted": "P0301 PO128"}
    form = ScanForm(sent, stay=stay)
    assert form.is_valid()
    assert form.fields["as_it_is"].widget.is_hidden
    assert form.perform(record_scan, intake=stay, by=by) is None
    assert not form.fields["as_it_is"].widget.is_hidden
    again = ScanForm(sent | {"as_it_is": "on"}, stay=stay)
    assert again.is_valid()
    assert again.perform(record_scan, intake=stay, by=by).codes.count() == 1
