"""Used tires and batteries.

Tread on the road: 2/32 in, 49 CFR 570.9(a). The limits for used ones have no source: common
practice and program policy.
"""

from __future__ import annotations

import datetime as dt

import pytest

from vehicles.repairs.ages import Worn, aged, in_words, problems, taken, used_battery, used_tire
from vehicles.repairs.suitability import Answer, Fit

FITS, DOES_NOT_FIT = Answer.FITS, Answer.DOES_NOT_FIT
TODAY = dt.date(2026, 11, 30)


def said(fit: Fit) -> tuple[Answer, str]:
    return fit.answer, str(fit.reason)


@pytest.mark.parametrize(
    ("tread", "made_on", "expected"),
    [
        (5, dt.date(2020, 11, 30), [FITS, FITS]),
        (4, dt.date(2020, 11, 30), [DOES_NOT_FIT, FITS]),
        (9, dt.date(2020, 11, 29), [FITS, DOES_NOT_FIT]),
    ],
)
def test_a_used_tire_has_five_32nds_and_is_at_most_six_years_old(
    tread: int, made_on: dt.date, expected: list[Answer]
) -> None:
    assert [fit.answer for fit in used_tire(tread, made_on, TODAY)] == expected


def test_a_used_battery_is_at_most_three_years_old() -> None:
    assert said(used_battery(dt.date(2023, 2, 1), TODAY)) == (
        DOES_NOT_FIT,
        "It was made in 2023, more than 3 years ago.",
    )
    assert used_battery(dt.date(2024, 2, 29), TODAY).answer is FITS


@pytest.mark.parametrize(
    ("kind", "named"),
    [("tire", "tire"), ("Tires", "tire"), ("battery", "battery"), ("tire_patch", None)],
)
def test_only_tires_and_batteries_are_read(kind: str, named: str | None) -> None:
    assert aged(kind) == named


@pytest.mark.parametrize(
    ("kind", "where"),
    [("tire", ["tread_32nds", "made"]), ("battery", ["made"]), ("radiator", [])],
)
def test_a_used_one_is_read_before_it_is_taken(kind: str, where: list[str]) -> None:
    assert [one.where for one in problems(kind, Worn(), TODAY)] == where


def test_a_tire_without_its_date_is_refused_whatever_its_tread() -> None:
    [one] = problems("tire", Worn(tread_32nds=9), TODAY)
    assert str(one.sentence) == "A used one is dated first. Type the date that stands on it."


def test_what_is_too_worn_and_too_old_says_both_beside_its_field() -> None:
    found = problems("tire", Worn(tread_32nds=4, made_on=dt.date(2019, 5, 5)), TODAY)
    assert [(one.where, str(one.sentence)) for one in found] == [
        ("tread_32nds", "It has 4/32 in of tread; used tires are taken from 5/32 in on."),
        ("made", "It was made in 2019, more than 6 years ago."),
    ]


def test_what_may_be_used_says_why() -> None:
    worn = Worn(tread_32nds=7, made_on=dt.date(2023, 8, 27))
    assert problems("tire", worn, TODAY) == []
    assert str(taken("tire", worn, TODAY)) == (
        "It has 7/32 in of tread; used tires are taken from 5/32 in on. It was made in 2023, not "
        "more than 6 years ago."
    )


def test_what_was_read_is_kept_in_words() -> None:
    worn = Worn(tread_32nds=7, made_on=dt.date(2023, 8, 27))
    assert in_words(worn) == "7/32 in of tread, made August 27, 2023"
    assert in_words(Worn()) == ""
