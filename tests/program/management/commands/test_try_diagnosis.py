from __future__ import annotations

import io
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from vehicles.diagnosis.complaints import load
from vehicles.diagnosis.deciding import Terms
from vehicles.diagnosis.setups import load as load_setups
from vehicles.diagnosis.simulation import drawn_car, try_out
from vehicles.diagnosis.textbook import Way


@pytest.fixture(autouse=True)
def _width(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "120")


def said(**options: Any) -> list[str]:
    out = io.StringIO()
    call_command("try_diagnosis", stdout=out, **options)
    return [line.rstrip() for line in out.getvalue().splitlines()]


def line_of(lines: list[str], title: str) -> list[str]:
    """Return the figures below a title."""
    return lines[lines.index(title) + 1].split()


def test_it_prints_what_the_trial_of_those_cars_comes_to() -> None:
    lines = said(cars=4, complaint=["overheats"], seed=7)
    model = load()["overheats"]
    cars = [drawn_car(model, 7, number) for number in range(4)]
    trial = try_out(model, Terms(rate=34_00, setups=load_setups()), cars)
    saved = trial.saved(Way.TEXTBOOK)
    checks = [f"{trial.tally(way).checks:.1f}" for way in Way]
    right = [f"{trial.tally(way).right * 100:.0f}" for way in Way]
    wrong = [f"{trial.tally(way).wrong * 100:.0f}" for way in Way]
    dollars = [f"{saved.dollars:.2f}", "±", f"{saved.error:.2f}"]
    assert lines[0] == "4 cars of each complaint, seed 7, advice one step ahead"
    assert line_of(lines, "Overheats") == [
        *checks, f"{saved.minutes:.0f}", *dollars, *right, *wrong
    ]  # fmt: skip


def test_the_same_seed_gives_the_same_table_and_another_one_another() -> None:
    first = said(cars=3, complaint=["charging"], seed=1)
    assert said(cars=3, complaint=["charging"], seed=1) == first
    assert said(cars=3, complaint=["charging"], seed=2)[1:] != first[1:]


def test_of_cars_with_a_wrong_reading_it_says_how_those_ended_that_met_it() -> None:
    lines = said(cars=6, complaint=["charging"], misread=True)
    met = next(line for line in lines if "wrong reading" in line)
    assert met == "  The wrong reading was met in 2 cars; 2 of them ended right."


def test_two_steps_ahead_and_another_rate_are_taken() -> None:
    one = said(cars=2, complaint=["overheats"], rate=60_00)
    two = said(cars=2, complaint=["overheats"], rate=60_00, steps=2)
    assert two[0] == "2 cars of each complaint, seed 1, advice two steps ahead"
    assert line_of(one, "Overheats") != line_of(said(cars=2, complaint=["overheats"]), "Overheats")


def test_no_line_is_wider_than_a_page() -> None:
    assert max(map(len, said(cars=1, complaint=["check-engine-lean"], misread=True))) <= 100


def test_what_cannot_be_tried_is_refused() -> None:
    with pytest.raises(CommandError, match=r"^No complaint “hot” is shipped\. There are: abs-"):
        said(complaint=["hot"])
    none = r"^At least one car, and a seed that is not negative\.$"
    with pytest.raises(CommandError, match=none):
        said(cars=0)
    with pytest.raises(CommandError, match=none):
        said(seed=-1)
