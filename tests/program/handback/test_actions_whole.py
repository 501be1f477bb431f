"""All of it or nothing: the database fails at every single write of the action, one after another.

What the action leaves alone is looked at by drawing what a case holds.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import DatabaseError, connection
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from program.handback.actions import return_unrepaired
from program.handback.wording import After
from program.ledger.actions import Event, SetAside, set_aside
from program.models import Commitment, Entry
from shared.documents.actions import issue
from sponsors.models import Reservation, Supply
from tests.factories import (
    TODAY,
    make_content,
    make_entry,
    make_item,
    make_key_tag,
    make_need,
    make_pledge,
    make_user,
)
from tests.program.handback.story import free_money, make_held_case, returning, stay_of
from tests.program.ledger.booking import fund_with
from vehicles.models import Need, RepairItem

if TYPE_CHECKING:
    from collections.abc import Callable

    from program.models import Case, Fund

WRITES = ("INSERT", "UPDATE", "DELETE")
APPS = ("shared", "vehicles", "sponsors", "program")


def everything() -> dict[str, list[tuple[Any, ...]]]:
    """Return every row of every table of the house."""
    models = [model for app in APPS for model in apps.get_app_config(app).get_models()]
    return {
        model._meta.label: list(model._default_manager.order_by("pk").values_list())
        for model in models
    }


class Failing:
    """Counts the writes to the database and fails at one of them."""

    def __init__(self, at: int) -> None:
        self.at, self.count = at, 0

    def __call__(self, execute: Callable[..., Any], sql: str, *rest: Any) -> Any:
        if sql.startswith(WRITES):
            self.count += 1
            if self.count == self.at:
                raise DatabaseError("The connection is lost.")
        return execute(sql, *rest)


def paper(_sheet: object) -> bytes:
    return b"%PDF-"


def tried(case: Case, at: int, **fields: Any) -> int:
    """Try to return the car while the database fails at one write; return how many were made."""
    stay, user = stay_of(case), make_user()
    how, before = returning(stay, contents_to="Dana Haskell", **fields), everything()
    failing = Failing(at)
    try:
        with connection.execute_wrapper(failing):
            return_unrepaired(intake=stay, returning=how, draw=paper, by=user)
    except DatabaseError:
        assert everything() == before, f"write {at} left something behind"
    return failing.count


@pytest.mark.django_db
def test_a_database_that_fails_at_any_write_leaves_everything_as_it_was() -> None:
    case = make_held_case()
    make_content(stay_of(case))
    make_key_tag(stay_of(case))
    at = 1
    while tried(case, at) == at:
        at += 1
    assert at > 30  # so many writes could have failed, and did
    assert not Reservation.objects.standing().exists()


def _book(case: Case) -> None:
    make_entry(key=f"returned:{stay_of(case).pk}")


def _issue(case: Case) -> None:
    number = f"{case.number}-U{stay_of(case).pk}"
    issue(holder=case, number=number, title="Notice", content=b"x", by=None)


def _open_tomorrow(case: Case) -> None:
    type(case).objects.update(opened_on=TODAY.replace(year=2040))


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("spoil", "sentence"),
    [
        (_book, "This was booked already."),
        (_issue, "A document with this number was issued already."),
        (_open_tomorrow, "A case can't close before it opens."),
    ],
)
def test_a_step_that_is_refused_undoes_those_before_it(
    spoil: Callable[[Case], None], sentence: str
) -> None:
    case = make_held_case()
    spoil(case)
    how, user, before = returning(stay_of(case), after=After.WITHDRAWN), make_user(), everything()
    with pytest.raises(ValidationError) as refusal:
        return_unrepaired(intake=stay_of(case), returning=how, draw=paper, by=user)
    assert refusal.value.messages == [sentence]
    assert everything() == before


@pytest.mark.django_db
def test_a_paper_that_can_not_be_drawn_keeps_the_car() -> None:
    def broken(_sheet: object) -> bytes:
        raise OSError("No ink.")

    case = make_held_case()
    how, user, before = returning(stay_of(case)), make_user(), everything()
    with pytest.raises(OSError, match="No ink"):
        return_unrepaired(intake=stay_of(case), returning=how, draw=broken, by=user)
    assert everything() == before


class WhatIsHeld(TestCase):
    """Whatever a case holds is free afterwards, to the cent; nothing else moves."""

    @settings(max_examples=10)
    @given(
        kept=st.lists(st.booleans(), max_size=4),
        aside=st.lists(st.integers(1, 5_000), max_size=4),
    )
    def test_whatever_is_held_is_free_and_nothing_else_moves(
        self, kept: list[bool], aside: list[int]
    ) -> None:
        case = make_held_case()
        item = stay_of(case).items.get()
        fund = fund_with(30_000, code="PRU", name="Pruitt gift")
        for confirmed in kept:
            _keep(item, confirmed=confirmed)
        entry = Entry.objects.earliest("pk")
        _set_aside(case, fund, aside)
        elsewhere = _keep(make_need().item, confirmed=True)
        total = sum(Commitment.objects.filter(released_by=None).values_list("cents", flat=True))
        before = sum(free_money().values())
        how, user = returning(stay_of(case)), make_user()
        return_unrepaired(intake=stay_of(case), returning=how, draw=paper, by=user)
        assert list(Reservation.objects.standing()) == [elsewhere]
        assert sum(free_money().values()) == before + total
        assert not Commitment.objects.filter(released_by=None).exists()
        assert Entry.objects.earliest("pk") == entry
        assert set(Supply.objects.values_list("state", flat=True)) == {"pledged"}
        assert not Need.objects.open().filter(item__intake=stay_of(case)).exists()


def _keep(item: RepairItem, *, confirmed: bool) -> Reservation:
    need = make_need(item=item)
    return Reservation.objects.create(
        program=need.program,
        supply=make_pledge().units.get(),
        need=need,
        made_for="matching",
        because="It fits.",
        confirmed_at=need.program.made_at if confirmed else None,
    )


def _set_aside(case: Case, fund: Fund, aside: list[int]) -> None:
    """Set money aside for further items of the case, one amount each."""
    rows = [
        SetAside(fund=fund, case=case, item_id=make_item(intake=stay_of(case)).pk, cents=cents)
        for cents in aside
    ]
    event = Event(key="plan:2", on=TODAY, what="Set aside by plan 2")
    set_aside(program=case.program, event=event, rows=rows, by=make_user())
