from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.people.kinds import SKILLS, PaperKind, PersonKind
from shared.people.may import (
    ACTS,
    HIGH_VOLTAGE,
    INSPECT,
    REFRIGERANT,
    ROAD_TEST,
    SIGN_OFF,
    UNDER_RAISED_CAR,
    Act,
    Dated,
    Worker,
    acts_for_point,
    age,
    may,
    work_on,
)
from shared.problems import Level
from vehicles.inspection.catalogue import cautions
from vehicles.shop.systems import System

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
        "No insurer’s listing of R. Amadi is on file.",
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


@pytest.mark.parametrize("act", [*ACTS, work_on("brakes"), work_on("cooling")])
def test_each_rule_says_whose_it_is_and_whether_its_text_was_seen(act: Act) -> None:
    marks = ("text seen", "text not seen", "no source", "program policy")
    assert any(mark in act.source for mark in marks)


def test_each_system_and_each_shop_skill_can_be_signed_off() -> None:
    systems = {str(system) for system in System}
    assert set(SKILLS) - systems == {"lift", "road_test", "sign_off", "high_voltage"}
    assert systems - set(SKILLS) == set()


@pytest.mark.parametrize("system", ["brakes", "steering", "fuel", "restraint"])
def test_nobody_works_on_a_guarded_system_without_the_skill(system: str) -> None:
    [problem] = may(make_worker(skills=()), work_on(system), DAY)
    assert problem.level == Level.BLOCKER


def test_at_another_system_somebody_may_learn_under_supervision() -> None:
    [problem] = may(make_worker(), work_on("cooling"), DAY)
    assert (str(problem.sentence), str(problem.remedy), problem.level) == (
        "R. Amadi is not signed off for cooling.",
        "Somebody who is signed off for it stands by.",
        Level.WARNING,
    )


def test_high_voltage_takes_the_skill_and_the_training() -> None:
    # Pages of Toyota (2002) and General Motors; 29 CFR 1910.137 and 1910.147 (from-memory).
    assert said(make_worker(), work_on("high_voltage")) == [
        "R. Amadi is not signed off for high voltage.",
        "No high-voltage training of R. Amadi is on file.",
    ]


def test_the_air_conditioning_is_opened_by_certified_people_alone() -> None:
    # 40 CFR 82.34(a), text-seen: a technician certified under section 609 opens the circuit.
    assert said(make_worker(), REFRIGERANT) == [
        "No refrigerant certificate of R. Amadi is on file."
    ]
    paper = Dated(code="refrigerant")
    assert said(make_worker(credentials=(paper,)), REFRIGERANT) == []


@pytest.mark.parametrize("act", ACTS)
def test_a_volunteer_without_a_waiver_does_nothing(act: Act) -> None:
    worker = make_worker(kind=PersonKind.VOLUNTEER)
    assert said(worker, act)[0] == "No volunteer waiver of R. Amadi is on file."


def test_a_waiver_that_ran_out_is_none() -> None:
    waiver = Dated(code="waiver", until_on=date(2026, 11, 24))
    worker = make_worker(kind=PersonKind.VOLUNTEER, credentials=(waiver,))
    assert said(worker, INSPECT) == [
        "The volunteer waiver of R. Amadi ran out on Tuesday, November 24, 2026."
    ]


@pytest.mark.parametrize(
    ("left_on", "sentences"),
    [
        (DAY, []),
        (
            date(2026, 11, 24),
            ["R. Amadi has not worked here since Tuesday, November 24, 2026."],
        ),
    ],
)
def test_who_has_left_does_nothing_from_the_day_after(left_on: date, sentences: list[str]) -> None:
    assert said(make_worker(left_on=left_on), INSPECT) == sentences


@pytest.mark.parametrize(
    ("group", "cautions", "acts"),
    [
        ("walk_round", ["lifting-stands"], [INSPECT]),
        ("look_under", [], [INSPECT]),
        ("look_under", ["brake-dust", "lifting-jack"], [INSPECT, UNDER_RAISED_CAR]),
        ("look_under", ["lifting-hoist", "hybrid-hv"], [INSPECT, UNDER_RAISED_CAR, HIGH_VOLTAGE]),
        ("sit_in", ["road-test"], [INSPECT, ROAD_TEST]),
    ],
)
def test_a_point_takes_what_its_cautions_warn_of(
    group: str, cautions: list[str], acts: list[Act]
) -> None:
    assert list(acts_for_point(group, cautions)) == acts


def test_the_cautions_that_a_point_is_judged_by_are_in_the_catalogue() -> None:
    codes = set(cautions())
    assert codes >= {"lifting-jack", "lifting-stands", "lifting-hoist", "road-test", "hybrid-hv"}


DAYS = st.dates(date(2026, 1, 1), date(2027, 12, 31))
CODES = st.sampled_from(["lift", "road_test", "sign_off", "high_voltage", "brakes", "cooling"])
SPANS = st.tuples(DAYS, DAYS).map(sorted)
EVERY_ACT = st.sampled_from([*ACTS, work_on("brakes"), work_on("cooling")])


@st.composite
def dated(draw: st.DrawFn, codes: st.SearchStrategy[str]) -> Dated:
    first, last = draw(SPANS)
    return Dated(code=draw(codes), from_on=first, until_on=last)


@st.composite
def workers(draw: st.DrawFn) -> Worker:
    return Worker(
        name="Ira",
        kind=draw(st.sampled_from(PersonKind)),
        born_on=draw(st.none() | st.dates(date(1950, 1, 1), date(2012, 1, 1))),
        left_on=draw(st.none() | DAYS),
        skills=tuple(draw(st.lists(dated(CODES), max_size=4))),
        credentials=tuple(draw(st.lists(dated(st.sampled_from(PaperKind)), max_size=4))),
    )


@given(workers(), EVERY_ACT, DAYS, dated(CODES), dated(st.sampled_from(PaperKind)))
def test_one_more_skill_or_paper_never_adds_a_problem(
    worker: Worker, act: Act, day: date, skill: Dated, paper: Dated
) -> None:
    more = replace(worker, skills=(*worker.skills, skill), credentials=(*worker.credentials, paper))
    before = {(problem.where, problem.level) for problem in may(worker, act, day)}
    after = {(problem.where, problem.level) for problem in may(more, act, day)}
    assert after <= before


@given(workers(), EVERY_ACT, DAYS)
def test_what_has_run_out_never_helps(worker: Worker, act: Act, day: date) -> None:
    held = replace(
        worker,
        skills=tuple(one for one in worker.skills if one.holds_on(day)),
        credentials=tuple(one for one in worker.credentials if one.holds_on(day)),
    )
    barred = [problem.where for problem in may(worker, act, day)]
    assert barred == [problem.where for problem in may(held, act, day)]
