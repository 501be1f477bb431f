"""What may be used on which day; values are ours, the rule is the program's policy."""

from __future__ import annotations

import calendar
import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.shop.duty import (
    Bay,
    Car,
    Closure,
    Piece,
    Space,
    Standing,
    has_lift,
    lot,
    next_due,
    open_days,
    stops,
    told,
    why_out,
)
from vehicles.shop.kinds import EquipmentKind

TODAY = dt.date(2026, 11, 30)
DAY = dt.timedelta(days=1)
BAY, FLAT = Bay(id=1, name="Bay 1", has_lift=True), Bay(id=2, name="Bay 2")


def lift(**fields: object) -> Piece:
    defaults = {"id": 1, "name": "Lift", "due_on": TODAY + 90 * DAY, "bay_id": 1}
    return Piece(kind=EquipmentKind.LIFT, **defaults | fields)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("piece", "standing", "sentence"),
    [
        (
            lift(due_on=TODAY + 31 * DAY),
            "in_date",
            "Lift is in date until Thursday, December 31, 2026.",
        ),
        (
            lift(due_on=TODAY + 30 * DAY),
            "soon",
            "Lift is due for inspection in 30 days, on Wednesday, December 30, 2026.",
        ),
        (lift(due_on=TODAY + DAY), "soon", "Lift is due for inspection tomorrow."),
        (lift(due_on=TODAY), "soon", "Lift is due for inspection today."),
        (
            lift(due_on=TODAY - DAY),
            "overdue",
            "Lift was due for inspection on Sunday, November 29, 2026: nobody uses it.",
        ),
        (lift(tagged_out=True), "tagged_out", "Lift is tagged out."),
        (
            lift(tagged_out=True, because="The lock slips."),
            "tagged_out",
            "Lift is tagged out: The lock slips.",
        ),
        (lift(tagged_out=True, retired_on=TODAY), "retired", "Lift is retired."),
        (
            lift(retired_on=TODAY + DAY),
            "in_date",
            "Lift is in date until Sunday, February 28, 2027.",
        ),
    ],
)
def test_each_standing_has_its_sentence(piece: Piece, standing: str, sentence: str) -> None:
    assert piece.standing(TODAY) == standing
    assert str(told(piece, TODAY)) == sentence


def test_only_what_is_in_date_may_be_used() -> None:
    assert {one for one in Standing if one.usable} == {Standing.SOON, Standing.IN_DATE}
    assert [one.label for one in Standing][:2] == ["tagged out", "overdue"]


@pytest.mark.parametrize(
    ("piece", "sentence"),
    [
        (lift(), None),
        (lift(due_on=TODAY - DAY, bay_id=2), None),
        (lift(due_on=TODAY - DAY), "Bay 1 is out of the plan since Monday, November 30, 2026."),
        (lift(due_on=TODAY), "Bay 1 is out of the plan from Tuesday, December 1, 2026 on."),
        (lift(tagged_out=True), "Bay 1 is out of the plan."),
        (
            lift(tagged_out=True, tagged_on=TODAY - 2 * DAY),
            "Bay 1 is out of the plan since Saturday, November 28, 2026.",
        ),
        (
            lift(tagged_out=True, tagged_on=TODAY, due_on=TODAY - 2 * DAY),
            "Bay 1 is out of the plan since Sunday, November 29, 2026.",
        ),
    ],
)
def test_a_piece_tells_what_it_stops(piece: Piece, sentence: str | None) -> None:
    said = stops(piece, BAY, TODAY)
    assert (str(said) if said else None) == sentence


def test_a_bay_is_out_for_every_reason_that_there_is() -> None:
    closure = Closure(bay_id=1, from_on=TODAY, until_on=TODAY + DAY, reason="The floor is painted")
    pieces = [lift(due_on=TODAY - DAY), lift(id=2, name="Jack", tagged_out=True, due_on=TODAY)]
    assert [str(one) for one in why_out(BAY, pieces, [closure], TODAY)] == [
        "Bay 1 is closed until Tuesday, December 1, 2026: The floor is painted.",
        "Lift was due for inspection on Sunday, November 29, 2026: nobody uses it.",
        "Jack is tagged out.",
    ]
    assert why_out(FLAT, pieces, [closure], TODAY) == ()


def test_a_bay_closed_for_good_says_only_that() -> None:
    closed = Bay(id=1, name="Bay 1", closed_on=TODAY)
    assert why_out(closed, [lift(tagged_out=True)], [], TODAY - DAY) != ()
    assert [str(one) for one in why_out(closed, [lift(tagged_out=True)], [], TODAY)] == [
        "Bay 1 is closed since Monday, November 30, 2026."
    ]


def test_a_lift_that_falls_due_takes_its_bay_out_from_the_day_after() -> None:
    days = [TODAY + n * DAY for n in range(3)]
    found = open_days([FLAT, BAY], [lift(due_on=TODAY + DAY)], [], days)
    assert found.every == {days[0]: (1, 2), days[1]: (1, 2), days[2]: (2,)}
    assert found.lift == {days[0]: (1,), days[1]: (1,), days[2]: ()}


def test_a_bay_whose_lift_is_retired_is_a_flat_bay() -> None:
    retired = lift(retired_on=TODAY)
    found = open_days([BAY], [retired], [], [TODAY])
    assert (found.every[TODAY], found.lift[TODAY]) == ((1,), ())
    assert has_lift(BAY, [retired, lift(id=2)], TODAY)
    assert has_lift(BAY, [], TODAY)
    assert not has_lift(FLAT, [lift(bay_id=2)], TODAY)


def test_the_next_inspection_is_due_on_the_same_day_of_its_month() -> None:
    """Calendar arithmetic; the last day of the month where the day is missing in it."""
    assert next_due(dt.date(2024, 2, 29), 12) == dt.date(2025, 2, 28)
    assert next_due(dt.date(2026, 12, 31), 6) == dt.date(2027, 6, 30)
    assert next_due(dt.date(2026, 1, 15), 120) == dt.date(2036, 1, 15)


@given(st.dates(dt.date(2000, 1, 1), dt.date(2090, 1, 1)), st.integers(1, 120))
def test_the_next_inspection_lies_so_many_months_ahead(on: dt.date, months: int) -> None:
    """Against the months counted off by the calendar module, one by one."""
    year, month = on.year, on.month
    for _ in range(months):
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
    last = calendar.monthrange(year, month)[1]
    assert next_due(on, months) == dt.date(year, month, min(on.day, last))


def test_the_lot_says_who_stands_where_and_what_is_free() -> None:
    spaces = [Space(name="Space 10"), Space(name="Space 2", takes_dead=True), Space(name="Fence")]
    dead = Car(label="2009 Ford Focus", place="space 2", rolls=False)
    other = Car(label="2011 Mazda 3", place="Bay 1")
    found = lot([*spaces, Space(name="Space 1", closed_on=TODAY)], [other, dead], TODAY)
    assert list(found.standing) == ["Fence", "Space 2", "Space 10"]
    assert found.standing["Space 2"] == (dead,)
    assert (found.free, found.elsewhere) == (("Fence", "Space 10"), (other,))
    assert (found.dead, found.dead_taken, found.dead_astray) == (1, 1, ())


def test_a_car_that_rolls_leaves_a_space_for_dead_cars_free() -> None:
    spaces = [Space(name="Space 1", takes_dead=True), Space(name="Space 2")]
    rolls = Car(label="A", place="Space 1")
    astray = Car(label="B", place="Space 2", rolls=False)
    found = lot(spaces, [rolls, astray], TODAY)
    assert (found.dead, found.dead_taken, found.dead_astray) == (1, 0, (astray,))


def test_two_cars_on_one_space_are_both_told() -> None:
    cars = [Car(label=label, place="Space 1", rolls=False) for label in ("B", "A")]
    found = lot([Space(name="Space 1", takes_dead=True)], cars, TODAY)
    assert [car.label for car in found.standing["Space 1"]] == ["A", "B"]
    assert (found.dead, found.dead_taken) == (1, 1)
