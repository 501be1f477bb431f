from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from program.importing.check import check
from program.importing.known import Facts
from shared.models import Person, User
from tests.factories import make_user
from tests.program.importing.samples import (
    example,
    sheet,
    sheet_import,
    templates,
    told,
    with_cells,
)
from vehicles.models import Consent, Content, Intake, KeyMove, KeyTag, Standing, Vehicle

if TYPE_CHECKING:
    from pathlib import Path

    from program.importing.models import ImportRun

#: Sheets that came later, in two steps; each names people who asked, read or signed.
OF_PEOPLE = ("papers", "keys", "contents", "inspections", "local_limits", "not_read")
OF_DIAGNOSIS = (
    *("diagnoses", "observations", "conclusions", "held"),
    *("trouble_codes", "fluid_demands", "fluid_readings"),
)
pytestmark = pytest.mark.django_db

CAME = dt.date(2026, 11, 5)


def faults(name: str, /, **cells: str) -> list[tuple[str, int, str, str]]:
    return told(check(with_cells(name, **cells), Facts()))


def faults_of(name: str, /, *rows: dict[str, str]) -> list[tuple[str, int, str, str]]:
    return told(check(templates(**{name: sheet(name, rows)}), Facts()))


def test_what_was_asked_about_a_car_comes_with_who_asked(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    found = Standing.objects.get()
    assert (found.paper, found.joined, found.lien, found.hold) == ("title", "any", "none", "none")
    assert (found.papers_agree, found.asked_on) == (True, CAME)
    assert found.asked_by.person == Person.objects.get()


def test_what_nobody_asked_is_neither_yes_nor_no(tmp_path: Path) -> None:
    cells = {"papers_agree": "", "joined": ""}
    sheet_import(tmp_path, with_cells("papers", **cells))
    found = Standing.objects.get()
    assert (found.papers_agree, found.joined) == (None, "unknown")


def test_a_no_is_another_value_than_an_empty_cell(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("papers", papers_agree=""))
    again = sheet_import(tmp_path, with_cells("papers", papers_agree="no"))
    assert [(one["sheet"], one["column"]) for one in again.problems] == [("papers", "ref")]


def test_the_sign_in_of_an_import_opens_nothing(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    user = User.objects.get()
    assert (str(user), user.is_active, user.has_usable_password()) == (
        "Rosalind Amadi",
        False,
        False,
    )
    assert user.role_kinds() == frozenset()


def test_who_signs_in_already_keeps_their_sign_in(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates(**dict.fromkeys((*OF_PEOPLE, *OF_DIAGNOSIS))))
    user = make_user()
    Person.objects.update(user=user)
    sheet_import(tmp_path, templates())
    assert Standing.objects.get().asked_by == user
    assert User.objects.count() == 1


def test_keys_hang_under_their_tag_with_a_first_line_of_the_log(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    tag = KeyTag.objects.get()
    assert (tag.tag, tag.keys, tag.wheel_lock_key, tag.returned_on) == ("14", 2, False, None)
    move = KeyMove.objects.get()
    assert (move.key_tag, move.holder, move.at.date()) == (tag, "key board", CAME)


def test_a_tag_hangs_on_one_car_at_a_time_and_again_once_it_is_back() -> None:
    rows = (example("keys"), example("keys", ref="ke2"))
    said = "Row 2 has the same {} already."
    assert faults_of("keys", *rows) == [
        ("keys", 3, "case", said.format("case")),
        ("keys", 3, "tag", said.format("tag and returned")),
    ]
    back = example("keys", ref="ke2", returned="2026-11-20")
    assert faults_of("keys", rows[0], back) == [("keys", 3, "case", said.format("case"))]


def test_what_lay_in_the_car_went_back_to_somebody(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    found = Content.objects.get()
    assert (found.kind, found.where, found.returned_on) == ("child_seat", "rear seat", CAME)
    assert (found.returned_to, found.decided_by) == ("Marisol Teague", None)


@pytest.mark.parametrize(
    ("cells", "column", "sentence"),
    [
        (
            {"returned_to": ""},
            "returned_to",
            "returned_to is empty, though returned is filled.",
        ),
        (
            {"kind": "biohazard"},
            "decided_by",
            "A biohazard went back, and nobody decided on it.",
        ),
        (
            {"decided_by": "p1"},
            "decided_because",
            "decided_because is empty, though decided_by is filled.",
        ),
        (
            {"listed": "2026-11-04"},
            "listed",
            "2026-11-04 is before the car came in, 2026-11-05.",
        ),
        ({"by": "p9"}, "by", "There is no row “p9” in people."),
    ],
)
def test_what_can_not_have_happened_to_a_thing_is_told(
    cells: dict[str, str], column: str, sentence: str
) -> None:
    assert faults("contents", **cells) == [("contents", 2, column, sentence)]


def test_the_car_and_its_arrival_come_as_somebody_noted_them(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    car, stay = Vehicle.objects.get(), Intake.objects.get()
    assert (car.fuel, car.front_brakes, car.rear_brakes, car.power_brakes) == (
        "gasoline",
        "disc",
        "drum",
        True,
    )
    assert (stay.arrived_by, stay.sleeps_in, stay.fuel_eighths) == ("driven", False, 3)
    assert stay.lamps == ["engine", "temperature"]


def test_nobody_noted_is_kept_as_nobody_noted(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("vehicles", power_brakes="", fuel=""))
    car = Vehicle.objects.get()
    assert (car.power_brakes, car.fuel, car.facts.fuel) == (None, "", None)


def test_a_lamp_or_a_signature_that_is_none_is_told() -> None:
    (lamp,) = faults("cases", lamps="glowing")
    assert lamp[:3] == ("cases", 2, "lamps")
    assert lamp[3].startswith("“glowing” is not a warning lamp. Use one of: brake, oil,")
    assert faults("consents", how="screen") == [
        ("consents", 2, "how", "A name drawn on a screen is no cell of a sheet.")
    ]
    assert faults("consents", how="phone") == [
        ("consents", 2, "witness", "witness is empty, though how is phone.")
    ]


def test_a_consent_on_the_phone_has_its_witness(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("consents", how="phone", witness="T. Lindgren"))
    found = Consent.objects.get()
    assert (found.how, found.witness, found.language) == ("phone", "T. Lindgren", "en")


def test_sheets_from_before_these_came_change_nothing_and_fit_as_they_are(tmp_path: Path) -> None:
    new = (*OF_PEOPLE, *OF_DIAGNOSIS, "spaces")
    first: ImportRun = sheet_import(tmp_path, templates(**dict.fromkeys(new)))
    assert (first.state, sum(one["new"] for one in first.counts.values())) == ("done", 20)
    assert User.objects.count() == 0
    again = sheet_import(tmp_path, templates())
    assert sorted(name for name, one in again.counts.items() if one["new"]) == sorted(new)
