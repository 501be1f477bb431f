from __future__ import annotations

import csv
import datetime as dt
import io
import socket
from typing import TYPE_CHECKING, Any

import pytest
import time_machine
from django.core.management import CommandError, call_command
from django.db import connection
from django.utils import timezone

from program.importing.actions import import_folder
from program.importing.shifting import weeks_from, write_shifted
from program.management.commands.demo import BASE_MONDAY, SHEETS, ZONE
from program.models import Case, Plan
from shared.dates import plan_week
from shared.jobs import actions
from shared.jobs.states import JobState
from shared.links.queries import link_url
from shared.models import AccessLink, Job, Program, User
from tests.factories.shared import make_program

if TYPE_CHECKING:
    from pathlib import Path

    from pytest_django import Settings

pytestmark = pytest.mark.django_db
HOME = [f"26-0{number}" for number in (31, 36, 38, 39, 41, 42, 44, 50)]


@pytest.fixture(autouse=True)
def _own_address(settings: Settings) -> None:
    """Let the command name its own address, which is forgotten after the test."""
    settings.SITE_URL = "http://localhost"


def said(**options: Any) -> str:
    out = io.StringIO()
    call_command("demo", no_site=True, stdout=out, **options)
    return out.getvalue()


def refusal(**options: Any) -> str:
    with pytest.raises(CommandError) as caught:
        said(**options)
    return str(caught.value)


def counts() -> tuple[int, ...]:
    return tuple(model.objects.count() for model in (Program, User, Case, Plan, Job, AccessLink))


def test_it_prints_the_week_and_the_ways_in_and_a_second_start_adds_nothing() -> None:
    first = said()
    before = counts()
    second = said()
    assert "Sheets: 2,244 rows new, 0 known.\n" in first
    assert "Sheets: 0 rows new, 2,244 known.\n" in second
    assert first[first.index("Eight cars go home") :] == second[second.index("Eight cars") :]
    assert counts() == before
    assert Program.objects.get().is_demo
    assert "1. One steering rack would free 26-046 and 26-052: 12 points more of need." in first
    assert "\n  imke      osier-street-14  coordinator: the desk" in first
    assert link_url(AccessLink.objects.get()) in first


def load(folder: Path, *, weeks: int = 0) -> None:
    """Bring the sheets in as the demonstration does, moved further by so many weeks."""
    week = plan_week(timezone.now().astimezone(ZONE).date())
    write_shifted(SHEETS, folder, weeks=weeks_from(BASE_MONDAY, week) + weeks)
    import_folder(folder, program=None, by=None)
    Program.objects.update(is_demo=True)


def test_a_job_that_a_killed_start_left_behind_is_run_by_the_next(tmp_path: Path) -> None:
    load(tmp_path)
    job = actions.claim(timezone.now())
    assert job is not None
    assert "Eight cars go home" in said()
    assert set(Job.objects.values_list("state", flat=True)) == {JobState.DONE}


def test_a_demonstration_of_other_sheets_is_to_be_started_anew(tmp_path: Path) -> None:
    load(tmp_path, weeks=1)
    assert refusal() == (
        "The demonstration that is there came from other sheets. Start it anew with --reset."
    )
    assert not User.objects.filter(is_active=True).exists()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("now", "first_on"),
    [
        ("2026-11-25 05:30 +0000", dt.date(2026, 11, 30)),  # early on a Wednesday in Bramwick
        ("2027-01-02 12:00 +0000", dt.date(2027, 1, 4)),
        ("2027-03-16 23:00 +0000", dt.date(2027, 3, 15)),  # a Tuesday, after the clocks changed
    ],
)
def test_whatever_the_day_the_same_cars_go_home(now: str, first_on: dt.date) -> None:
    with time_machine.travel(dt.datetime.strptime(now, "%Y-%m-%d %H:%M %z"), tick=False):
        said()
    plan = Plan.objects.get()
    assert plan.first_week_on == first_on
    assert sorted(home["case_id"] for home in plan.result["homes"]) == HOME


def test_a_real_program_is_left_alone() -> None:
    make_program()
    before = counts()
    assert refusal() == (
        "This database holds a real program, so the demonstration stays away from it. "
        "Leave DATABASE_URL and HANDBACK_VAR unset: the demonstration has its own folder."
    )
    assert refusal(reset=True).startswith("This database holds a real program")
    assert counts() == before


def test_people_without_a_program_are_left_alone() -> None:
    User.objects.create_user("somebody")
    assert refusal(reset=True).startswith("This database holds a real program")
    assert User.objects.get().username == "somebody"


def test_a_database_of_something_else_is_left_alone() -> None:
    with connection.cursor() as cursor:
        cursor.execute("CREATE TABLE somebody_elses (id integer)")
    assert refusal(reset=True) == "This database holds something else. Nothing was touched."
    assert counts() == (0, 0, 0, 0, 0, 0)


def test_it_does_not_run_in_production(settings: Settings) -> None:
    settings.PRODUCTION = True
    assert refusal() == (
        "The passwords of the demonstration are public, so it doesn't run with "
        "HANDBACK_PRODUCTION set. Nothing was touched."
    )
    assert counts() == (0, 0, 0, 0, 0, 0)


def test_a_taken_port_is_refused_before_anything_is_done() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        assert refusal(port=port) == f"Port {port} is taken. Name another with --port."
    assert refusal(port=65_536) == "A port is a number from 1 to 65535."
    assert refusal(port=0) == "A port is a number from 1 to 65535."
    assert counts() == (0, 0, 0, 0, 0, 0)


def test_its_zone_and_its_monday_are_those_of_the_sheets() -> None:
    with (SHEETS / "program.csv").open(encoding="utf-8", newline="") as file:
        assert [row["time_zone"] for row in csv.DictReader(file)] == [ZONE.key]
    with (SHEETS / "hours.csv").open(encoding="utf-8", newline="") as file:
        assert min(row["week"] for row in csv.DictReader(file)) == str(BASE_MONDAY)
