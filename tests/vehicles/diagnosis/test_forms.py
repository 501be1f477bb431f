"""The form of one check: its answers, and why it could not be done."""

from __future__ import annotations

from uuid import uuid4

from tests.vehicles.diagnosis.rows import HOT
from vehicles.diagnosis.forms import COULD_NOT, ObserveForm, OverruleForm
from vehicles.diagnosis.modelfile import read
from vehicles.diagnosis.values import Seen, Step

MODEL = read(HOT)


def form(check: str, **sent: str) -> ObserveForm:
    data = {"client_key": str(uuid4())} | sent
    return ObserveForm(data, check=MODEL.check(check))


def test_an_answer_is_what_the_check_can_show() -> None:
    sent = form("level", outcome="low", note=" wet ", seen_id="7")
    assert sent.is_valid()
    assert sent.seen() == Seen(check="level", outcome="low", note="wet", seen_id=7)
    assert form("level", outcome="boiling").errors == {"outcome": ["Choose one of the answers."]}


def test_a_question_has_its_own_words_and_asks_no_reason() -> None:
    asked = form("when", outcome=COULD_NOT)
    assert asked.is_valid()
    assert asked.seen() == Seen(check="when", could_not="The household could not say")
    assert asked.fields["outcome"].label == "What did they say?"


def test_what_could_not_be_done_says_why() -> None:
    assert form("level", outcome=COULD_NOT).errors == {
        "could_not": ["Say why it could not be done."]
    }


def test_what_stands_is_shown_with_its_note() -> None:
    shown = ObserveForm(check=MODEL.check("level"), step=Step(check="level", note="wet", pk=4))
    assert shown.initial == {"seen_id": 4, "note": "wet", "outcome": "-", "could_not": ""}


def test_a_person_concludes_only_what_the_model_has() -> None:
    sent = OverruleForm({"fault": "wing", "because": "x"}, faults=list(MODEL.faults))
    assert set(sent.errors) == {"fault"}
