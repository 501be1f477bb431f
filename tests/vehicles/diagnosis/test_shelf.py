"""The fault models of a program, as lines and with their history."""

from __future__ import annotations

from typing import Any

import pytest

from shared.accounts.roles import RoleKind
from tests.factories import make_program, make_user
from tests.vehicles.diagnosis.rows import HOT, make_diagnosis
from vehicles.diagnosis.complaints import load, text_of
from vehicles.diagnosis.keeping import kept_model, save_model, use_shipped
from vehicles.diagnosis.shelf import ModelLine, compared_with_last, history, model_lines
from vehicles.models import KeptModel

pytestmark = pytest.mark.django_db


def save(complaint: str, text: str, number: int = 0) -> KeptModel:
    return save_model(
        program=make_program(),
        complaint=complaint,
        text=text,
        because="Ours",
        seen_number=number,
        by=make_user(RoleKind.LEAD_TECHNICIAN),
    )


def line(code: str) -> ModelLine:
    return next(one for one in model_lines(make_program()) if one.code == code)


def test_every_shipped_model_has_a_line_in_the_order_of_titles() -> None:
    lines = model_lines(make_program())
    assert [one.code for one in lines] == list(load())
    assert {(one.whose, one.changed_at, one.used) for one in lines} == {("Shipped", None, 0)}


def test_a_line_counts_what_is_in_the_text_and_how_often_it_was_used() -> None:
    row = make_diagnosis()
    found: Any = line("hot")
    assert (found.title, found.system, found.causes) == ("Runs hot", "Cooling", "one")
    assert (found.faults, found.checks, found.version, found.used) == (3, 5, "1", 1)
    assert (found.whose, found.changed_at) == ("Our own", row.model.at)


def test_a_text_that_can_not_be_read_has_a_line_that_says_so() -> None:
    row = save("stalls", text_of("stalls") + "# x\n")
    KeptModel.objects.filter(pk=row.pk).update(text="?")
    found = line("stalls")
    assert (found.is_readable, found.title, found.faults) == (False, row.title, None)
    assert len(model_lines(make_program())) == len(load())


def test_history_has_every_text_and_the_way_back_newest_first() -> None:
    by = make_user(RoleKind.COORDINATOR)
    shipped = kept_model(make_program(), "stalls", by)
    own = save("stalls", text_of("stalls") + "# x\n")
    use_shipped(program=make_program(), complaint="stalls", because="Tried", by=by)
    found = [(one["row"], one["because"]) for one in history(make_program(), "stalls")]
    assert found == [(None, "Tried"), (own, "Ours"), (shipped, "")]


def test_a_text_is_compared_with_the_one_before_it() -> None:
    save("hot", HOT)
    second = save("hot", HOT.replace("minutes = 20", "minutes = 25", 1), 1)
    found = compared_with_last(second, "")
    assert found.changes is not None
    assert [one.after for one in found.changes.work] == ["25 min"]
    assert [one.text for one in found.lines or () if one.sign != " "] == [
        "minutes = 20",
        "minutes = 25",
    ]
    assert not found.with_shipped


def test_the_first_text_is_compared_with_the_shipped_one_where_there_is_one() -> None:
    own = save("stalls", text_of("stalls") + "# x\n")
    found = compared_with_last(own, text_of("stalls"))
    assert found.with_shipped
    assert [one.text for one in found.lines or () if one.sign == "+"] == ["# x"]
    first = compared_with_last(save("hot", HOT), "")
    assert (first.changes, first.lines, first.with_shipped) == (None, (), False)


def test_without_a_text_that_can_be_read_lines_are_still_compared() -> None:
    first = save("hot", HOT)
    second = save("hot", HOT + "# x\n", 1)
    KeptModel.objects.filter(pk=first.pk).update(text="?\n")
    found = compared_with_last(second, "")
    assert found.changes is None
    assert found.lines
