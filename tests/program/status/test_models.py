from __future__ import annotations

import pytest
from django.utils import timezone

from program.households.models import Tie
from program.status.models import Question
from tests.factories import make_case, make_user
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db

RULE, SENTENCE = "question_answer_has_moment", "An answer has its words and its moment."


def test_an_answer_has_words_and_moment() -> None:
    case = make_case()
    for fields in ({"answer": "Yes."}, {"answered_at": timezone.now()}):
        row = Question(program=case.program, case=case, text="When?", **fields)
        assert_refused(row, RULE, SENTENCE)


def test_open_questions_come_oldest_first_and_ties_hide_them() -> None:
    case, user = make_case(), make_user()
    first, second = (
        Question.objects.create(program=case.program, case=case, text=text)
        for text in ("When?", "Who calls?")
    )
    assert list(Question.objects.open()) == [first, second]
    assert list(Question.objects.for_user(user).open()) == [first, second]
    assert case.household
    Tie.objects.create(program=case.program, household=case.household, user=user)
    assert list(Question.objects.for_user(user)) == []


def test_a_question_is_called_by_its_start() -> None:
    assert str(Question(text="x" * 80)) == "x" * 60
