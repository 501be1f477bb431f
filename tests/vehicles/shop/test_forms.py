"""Forms of the shop."""

from __future__ import annotations

import pytest

from tests.factories import make_bay, make_program
from tests.vehicles.shop.rows import DAY, make_piece, today
from vehicles.shop.forms import CloseDaysForm, EquipmentEditForm, EquipmentForm, InspectionForm
from vehicles.shop.kinds import EquipmentKind
from vehicles.shop.queries import as_typed
from vehicles.shop.values import Inspected

pytestmark = pytest.mark.django_db
SENT = {"on": "2026-11-01", "by_name": "Fenwick Lift Service", "passed": "yes"}


def test_an_inspection_is_put_together_as_the_action_takes_it() -> None:
    form = InspectionForm(SENT | {"note": "Chains oiled"}, today=today() + 400 * DAY)
    assert form.is_valid()
    assert form.cleaned_data.keys() == {"client_key", "said"}
    said = form.cleaned_data["said"]
    assert said == Inspected(on=said.on, by_name="Fenwick Lift Service", note="Chains oiled")
    assert said.on.isoformat() == "2026-11-01"


def test_an_inspection_of_a_day_to_come_is_refused_at_its_field() -> None:
    form = InspectionForm(SENT | {"on": "2099-01-01"}, today=today())
    assert form.errors == {"on": ["Thursday, January 1, 2099, has not come yet."]}


def test_nobody_passes_a_piece_by_leaving_the_result_empty() -> None:
    form = InspectionForm(SENT | {"passed": ""}, today=today())
    assert form.errors == {"passed": ["Result: an answer is missing."]}


def test_only_open_bays_of_the_program_are_offered() -> None:
    bay = make_bay(name="Bay 1")
    make_bay(closed_on=today())
    make_bay(program=make_program(name="Elsewhere"))
    form = EquipmentEditForm(program=bay.program)
    assert list(form.fields["bay"].queryset) == [bay]  # type: ignore[attr-defined]


def test_a_piece_is_shown_as_on_record() -> None:
    lift = make_piece()
    form = EquipmentEditForm(
        as_typed(lift) | {"bay": lift.bay_id}, program=lift.program, initial=as_typed(lift)
    )
    assert form.is_valid()
    assert form.cleaned_data["kind"] is EquipmentKind.LIFT
    assert (form.cleaned_data["version"], form.cleaned_data["bay"]) == (1, lift.bay)


def test_a_new_piece_has_no_version_and_a_due_day() -> None:
    form = EquipmentForm({"name": "Jack", "kind": "jack"}, program=make_program())
    assert set(form.errors) == {"interval_months", "due_on"}
    assert "version" not in form.fields


def test_days_are_closed_from_today_on_unless_told_otherwise() -> None:
    assert CloseDaysForm(today=today())["from_on"].value() == today().isoformat()
