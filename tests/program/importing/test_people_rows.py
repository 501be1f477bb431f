from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from program.importing.actions import import_folder
from program.importing.check import check
from program.importing.known import Facts
from program.importing.states import ImportState
from shared.models import Person, WeekHours
from shared.people.queries import answers, running_out
from tests.factories import make_user
from tests.program.importing.samples import sheet_import, templates, told, with_cells

pytestmark = pytest.mark.django_db

DEMO = Path(__file__).resolve().parents[3] / "fixtures" / "demo"
DAY = dt.date(2026, 11, 25)  # the last day on which something has happened there
NO_PAPERS = dict.fromkeys(
    (
        *("born", "waiver_since", "waiver_until", "papers_seen", "license_until"),
        *("insurer_list_until", "certificate_until", "other_papers"),
    ),
    "",
)


def test_people_come_with_their_skills_and_hours(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    person = Person.objects.get()
    assert (person.kind, person.pace_percent, person.attendance_percent) == ("volunteer", 80, 90)
    skills = person.skills.order_by("code").values_list("code", "since_on")
    since = dt.date(2025, 3, 1)
    assert list(skills) == [("brakes", since), ("lift", since), ("tires", since)]
    week = WeekHours.objects.get()
    assert (week.minutes, week.shifts) == (450, [[0, 1050, 180], [2, 480, 270]])


def test_people_come_with_their_papers_each_with_its_days(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    person = Person.objects.get()
    assert person.born_on == dt.date(1968, 3, 21)
    seen = dt.date(2026, 6, 2)
    assert list(person.credentials.values_list("kind", "since_on", "until_on")) == [
        ("certificate", seen, dt.date(2028, 6, 30)),
        ("driver_license", seen, dt.date(2029, 3, 21)),
        ("high_voltage", seen, None),
        ("insurer_list", seen, dt.date(2027, 1, 11)),
        ("refrigerant", seen, None),
        ("waiver", seen, dt.date(2027, 6, 1)),
    ]


def test_a_sheet_without_papers_brings_none(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("people", **NO_PAPERS))
    person = Person.objects.get()
    assert (person.born_on, person.credentials.count()) == (None, 0)


def test_a_paper_named_twice_is_written_once_with_its_last_day(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("people", other_papers="waiver; driver_license"))
    papers = Person.objects.get().credentials
    assert papers.get(kind="driver_license").until_on == dt.date(2029, 3, 21)
    assert papers.get(kind="waiver").until_on == dt.date(2027, 6, 1)


@pytest.mark.parametrize(
    ("cells", "column", "sentence"),
    [
        (
            {"waiver_until": "2026-06-01"},
            "waiver_until",
            "waiver_until is 2026-06-01, before waiver_since, 2026-06-02.",
        ),
        (
            {"waiver_since": ""},
            "waiver_since",
            "waiver_since is empty, though waiver_until is filled.",
        ),
        (
            {"license_until": "2026-01-01"},
            "license_until",
            "license_until is 2026-01-01, before papers_seen, 2026-06-02.",
        ),
        (
            NO_PAPERS | {"other_papers": "refrigerant"},
            "papers_seen",
            "papers_seen is empty, though other_papers is filled.",
        ),
    ],
)
def test_papers_that_can_not_be_are_refused(
    cells: dict[str, str], column: str, sentence: str
) -> None:
    found = check(with_cells("people", **cells), Facts())
    assert told(found) == [("people", 2, column, sentence)]


def test_a_paper_that_the_program_does_not_know_is_refused() -> None:
    [fault] = check(with_cells("people", other_papers="diploma"), Facts()).faults
    assert (fault.column, fault.value) == ("other_papers", "diploma")


def test_the_people_of_the_demonstration_may_do_what_its_story_says() -> None:
    run = import_folder(DEMO, program=None, by=None)
    assert run.state == ImportState.DONE
    barred = {
        person.name: {
            one.act.what: [str(problem.sentence) for problem in one.against]
            for one in answers(person, DAY)
            if one.against
        }
        for person in Person.objects.all()
    }
    assert barred["Rosalind Amadi"] == {}
    assert list(barred["Sten Voss"]) == [
        "work on high voltage",
        "open the air conditioning",
        "work on belts and airbags",
    ]
    assert barred["Femi Oyelaran"]["work under a raised car"] == [
        "Femi Oyelaran is not signed off for the lift.",
        "Femi Oyelaran is under 18 and may not work under a raised car.",
    ]
    assert all("read the sheet" not in acts for acts in barred.values())


def test_one_waiver_of_the_demonstration_runs_out_soon() -> None:
    run = import_folder(DEMO, program=None, by=None)
    user = make_user(program=run.program)
    assert [str(person) for person in running_out(user, DAY)] == ["Joris Achterberg"]


def test_hours_without_shifts_are_on_any_day(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("hours", shifts=""))
    week = WeekHours.objects.get()
    assert (week.minutes, week.shifts) == (450, [])


@pytest.mark.parametrize(
    ("cells", "column", "sentence"),
    [
        ({"hours": "8"}, "hours", "The shifts make 7.5 hours, the row 8."),
        ({"shifts": "Mon 17:30-17:00"}, "shifts", "Monday: 17:30-17:00 ends before it begins."),
        (
            {"shifts": "Mon 8-12; Mon 11-13"},
            "shifts",
            "Monday: 8:00-12:00 and 11:00-13:00 overlap.",
        ),
        (
            {"shifts": "Mo 8-12; T 8-9"},
            "shifts",
            "“T” is no day of the week. Type such as Mon 17:30-20:30.",
        ),
    ],
)
def test_shifts_that_can_not_be_are_refused(
    cells: dict[str, str], column: str, sentence: str
) -> None:
    found = check(with_cells("hours", **cells), Facts())
    assert told(found) == [("hours", 2, column, sentence)]


def test_the_evenings_of_the_demonstration_are_the_hours_that_it_names() -> None:
    import_folder(DEMO, program=None, by=None)
    rows = WeekHours.objects.exclude(shifts=[]).select_related("person")
    assert {row.person.kind for row in rows} == {"volunteer"}
    assert {row.minutes - sum(shift[2] for shift in row.shifts) for row in rows} == {0}
    assert {shift[0] for row in rows for shift in row.shifts} == {1, 3}
