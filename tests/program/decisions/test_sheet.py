from __future__ import annotations

from dataclasses import replace

import pytest

from program.decisions.sheet import in_language, more_of, number_of, sheet_of
from tests.program.decisions.story import (
    add_work,
    ask,
    budget_says,
    make_supplement,
    owner_says,
)

pytestmark = pytest.mark.django_db


def test_a_later_supplement_stands_on_what_was_agreed_before_it() -> None:
    row = owner_says(make_supplement())
    budget_says(row)
    second = ask(row.authorization.intake, add_work(row.authorization.intake, 7_000, title="Hub"))
    more = more_of(second)
    assert (more.authorized_cents, more.cents, more.work) == (15_000, 7_000, ("Hub",))
    assert more_of(row).authorized_cents == 10_000


def test_other_words_have_another_digest() -> None:
    row = make_supplement()
    before = in_language(more_of(row), "en").digest
    assert before != in_language(more_of(row), "es").digest
    row.reason = "Something else."
    assert before != in_language(more_of(row), "en").digest


def test_work_of_the_catalogue_is_told_in_spanish_and_what_was_typed_as_it_was_typed() -> None:
    more = replace(more_of(make_supplement()), work=("Replace radiator", "Hub"))
    [line] = [line for line in in_language(more, "es").lines if "Hub" in line]
    assert "Cambiar el radiador, Hub" in line


def test_the_paper_has_the_case_and_the_supplement_for_its_number() -> None:
    row = make_supplement()
    sheet = sheet_of(row, in_language(more_of(row), "en"), [])
    assert sheet.number == number_of(row) == f"{row.authorization.case.number}-S{row.pk}"
    assert (sheet.answer, sheet.answered_on) == (None, None)
