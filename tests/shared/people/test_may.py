from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.people.may import (
    ROAD_TEST,
    SIGN_OFF,
    UNDER_RAISED_CAR,
    Act,
    Dated,
    Worker,
    age,
    may,
    work_on,
)
from shared.problems import Level

DAY = date(2026, 11, 25)


def make_worker(**fields: Any) -> Worker:
    defaults = {
        "name": "R. Amadi",
        "born_on": date(1980, 5, 1),
        "skills": tuple(Dated(code=code) for code in ("brakes", "lift", "road_test", "sign_off")),
        "credentials": (Dated(code="driver_license"), Dated(code="insurer_list")),
    }
    return Worker(**{**defaults, **fields})


def said(worker: Worker, act: Act) -> list[str]:
    return [str(problem.sentence) for problem in may(worker, act, DAY)]


@pytest.mark.parametrize("act", [ROAD_TEST, SIGN_OFF, UNDER_RAISED_CAR, work_on("brakes")])
def test_somebody_with_all_papers_may(act: Act) -> None:
    assert said(make_worker(), act) == []


def test_a_skill_that_nobody_signed_off_is_missing() -> None:
    assert said(make_worker(skills=()), work_on("brakes")) == [
        "R. Amadi is not signed off for brakes."
    ]


def test_another_system_s_skill_does_not_do() -> None:
    assert said(make_worker(), work_on("steering")) == ["R. Amadi is not signed off for steering."]


@pytest.mark.parametrize(
    ("until_on", "sentences"),
    [
        (DAY, []),
        (
            date(2026, 11, 24),
            ["R. Amadi was signed off for brakes until Tuesday, November 24, 2026."],
        ),
    ],
)
def test_a_skill_holds_through_its_last_day(until_on: date, sentences: list[str]) -> None:
    worker = make_worker(skills=(Dated(code="brakes", until_on=until_on),))
    assert said(worker, work_on("brakes")) == sentences


def test_a_skill_signed_off_for_tomorrow_does_not_hold_today() -> None:
    worker = make_worker(skills=(Dated(code="brakes", from_on=date(2026, 11, 26)),))
    assert said(worker, work_on("brakes")) == ["R. Amadi is not signed off for brakes."]


def test_nobody_drives_on_papers_that_ran_out_or_were_never_seen() -> None:
    worker = make_worker(credentials=(Dated(code="driver_license", until_on=date(2026, 10, 31)),))
    assert said(worker, ROAD_TEST) == [
        "The driver license of R. Amadi ran out on Saturday, October 31, 2026.",
        "No insurer list of R. Amadi is on file.",
    ]


@pytest.mark.parametrize(
    ("born_on", "sentences"),
    [
        (date(2008, 11, 25), []),
        (date(2008, 11, 26), ["R. Amadi is under 18 and may not work under a raised car."]),
    ],
)
def test_nobody_under_eighteen_works_under_a_raised_car(
    born_on: date, sentences: list[str]
) -> None:
    # Program policy; 29 CFR 570.58 bars young employees from hoists (text-seen).
    assert said(make_worker(born_on=born_on), UNDER_RAISED_CAR) == sentences


def test_an_age_that_nobody_noted_is_a_warning() -> None:
    [problem] = may(make_worker(born_on=None), UNDER_RAISED_CAR, DAY)
    assert (str(problem.sentence), problem.level) == (
        "The age of R. Amadi is not on file.",
        Level.WARNING,
    )
    assert str(problem.remedy) == ("Note the age: nobody under 18 may work under a raised car.")


@given(st.dates(date(1930, 1, 1), date(2015, 1, 1)))
def test_an_age_grows_by_one_each_birthday(born_on: date) -> None:
    years = [age(born_on, date(year, 12, 31)) for year in range(2016, 2030)]
    assert years == list(range(2016 - born_on.year, 2030 - born_on.year))
