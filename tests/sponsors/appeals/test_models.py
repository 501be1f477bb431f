from __future__ import annotations

import pytest
from django.utils import timezone

from sponsors.appeals.states import AppealState
from sponsors.models import Appeal, AppealLine
from tests.factories.shared import make_program, make_user
from tests.factories.sponsors import make_sponsor
from tests.factories.vehicles import make_need
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def appeal(**fields: object) -> Appeal:
    usual = {"program": make_program(), "round": "2026-W48", "subject": "Radiator", "text": "Hello"}
    return Appeal(**{"sponsor": make_sponsor()} | usual | fields)


def test_an_appeal_is_in_a_state_that_there_is() -> None:
    row = appeal(state="lost", decided_at=timezone.now())
    assert_refused(row, "appeal_state_known", "This state is not known to the program.")


def test_a_sponsor_has_one_appeal_in_a_round() -> None:
    sponsor = make_sponsor()
    appeal(sponsor=sponsor).save()
    sentence = "This sponsor has an appeal in this round already."
    assert_refused(appeal(sponsor=sponsor), "appeal_once_a_round", sentence)


@pytest.mark.parametrize("state", [AppealState.APPROVED, AppealState.SENT, AppealState.DROPPED])
def test_nothing_is_sent_before_it_is_decided(state: AppealState) -> None:
    sentence = "A person approves an appeal before it is sent."
    assert_refused(appeal(state=state), "appeal_sent_after_decision", sentence)


def test_a_need_stands_in_an_appeal_once() -> None:
    mail, need = appeal(), make_need()
    mail.save()
    line = {"program": mail.program, "appeal": mail, "need": need, "position": 1}
    AppealLine.objects.create(**line)
    assert_refused(AppealLine(**line), "appeal_need_once", "This need is in the appeal already.")


def test_appeals_are_those_of_the_own_program() -> None:
    own = appeal()
    own.save()
    appeal(program=make_program(name="Another garage")).save()
    assert list(Appeal.objects.for_user(make_user(program=own.program))) == [own]
    assert str(own) == f"{own.sponsor}, 2026-W48"
