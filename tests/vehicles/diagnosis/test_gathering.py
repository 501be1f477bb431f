"""From rows to plain values."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from shared.policy.models import Policy
from tests.factories import make_user
from tests.vehicles.diagnosis.rows import make_diagnosis, see
from vehicles.diagnosis.actions import take_back
from vehicles.diagnosis.gathering import (
    UnreadableError,
    at_work,
    is_readable,
    model_of,
    readable,
    session_of,
)
from vehicles.diagnosis.queries import diagnoses_of, own_texts, standing
from vehicles.models import KeptModel

pytestmark = pytest.mark.django_db


def test_a_session_is_the_model_and_what_stands_in_order() -> None:
    row = make_diagnosis()
    see(row, "when", "standing")
    back = see(row, "level", "low")
    see(row, "gas", "", could_not="Tool not here")
    take_back(observation=back, by=row.begun_by)
    session = session_of(row)
    assert [step.check for step in session.steps] == ["when", "gas"]
    assert (session.observed, session.missed) == ({"when": "standing"}, {"gas": "Tool not here"})
    assert (session.model.code, session.cars) == ("hot", 0)
    assert [one.check_code for one in standing(row)] == ["when", "gas"]


def test_an_hour_is_worth_what_the_policy_says() -> None:
    row = make_diagnosis()
    today = row.program.today()
    Policy.objects.create(
        program=row.program, name="shop_hour_cents", value=5_000, since_on=today, reason="Vote"
    )
    assert session_of(row).rate == 5_000


def test_a_text_that_a_later_release_can_not_read_is_said_and_left_out() -> None:
    row = make_diagnosis()
    KeptModel.objects.update(text="format = 'fault model 0'")
    row.model.refresh_from_db()
    with pytest.raises(UnreadableError, match="can’t be read any more"):
        session_of(row)
    texts = own_texts(row.program)
    assert (set(texts), readable(texts)) == ({"hot"}, {})
    assert not is_readable(texts["hot"])


def test_the_same_text_is_read_once() -> None:
    row = make_diagnosis()
    assert model_of(row.model.text) is model_of(row.model.text)


def test_who_may_not_inspect_does_not_go_on() -> None:
    row = make_diagnosis()
    with pytest.raises(ValidationError):
        at_work(row, make_user(program=row.program))


def test_open_diagnoses_stand_before_ended_ones() -> None:
    row = make_diagnosis()
    assert diagnoses_of(row.intake) == [row]
