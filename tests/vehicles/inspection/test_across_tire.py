"""Three numbers across one tire: the depth that counts, how it is worn, and where they are asked.

From which difference on wear is uneven, and its causes, is common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from shared.accounts.roles import RoleKind
from tests.factories import make_intake, make_user
from vehicles.inspection.actions import record_not_read, record_reading
from vehicles.inspection.computing import report_of
from vehicles.inspection.depths import Depth
from vehicles.inspection.gathering import points_at, sheet_of
from vehicles.inspection.keeping import begin_inspection, end_inspection
from vehicles.inspection.queries import with_sheet_state
from vehicles.inspection.reading import Missed, Typed
from vehicles.models import Intake

if TYPE_CHECKING:
    from shared.models import User
    from vehicles.inspection.sheet import Section

pytestmark = pytest.mark.django_db
DEPTH, ACROSS, WEAR = "tire-tread", "tire-tread-across", "tire-wear-across"


@pytest.fixture
def user() -> User:
    return make_user(RoleKind.TECHNICIAN)


def type_in(stay: Intake, user: User, *numbers: str, at: str = "LF", final: bool = False) -> None:
    """Type the numbers from the inner edge to the outer one, as the pad sends them."""
    for place, number in zip(("inner", "middle", "outer"), numbers, strict=False):
        one(stay, user, ACROSS, f"{at}-{place}", number, final=final)


def one(stay: Intake, user: User, code: str, at: str, number: str, **fields: Any) -> None:
    rows = stay.readings.current().filter(criterion=code, position=at)
    stands = rows.filter(final=fields.get("final", False)).first()
    seen = stands.pk if stands else None
    typed = Typed(criterion=code, position=at, value=number, seen_id=seen, **fields)
    record_reading(intake=stay, typed=typed, by=user)


def stands(stay: Intake, code: str, at: str = "LF") -> str:
    reading = stay.readings.current().filter(criterion=code, position=at).first()
    return reading.typed if reading else ""


def section(stay: Intake, code: str) -> Section:
    found = sheet_of(stay, Depth.FULL).section(code)
    assert found is not None
    return found


def asked(stay: Intake) -> list[str]:
    return [point.position for point in section(stay, ACROSS).asked]


def test_the_shallowest_of_three_is_the_tread_depth_and_the_difference_a_finding(
    user: User,
) -> None:
    stay = make_intake()
    type_in(stay, user, "3", "7", "8")
    assert (stands(stay, DEPTH), stands(stay, WEAR)) == ("3", "PP worn-inner-edge")
    finding = stay.findings.get()
    assert (finding.title, finding.deficiency) == (
        "Wear across the tire, LF: Worn more at the inner edge, as by wheels out of line",
        "minor",
    )
    [pair] = section(stay, ACROSS).pairs
    assert str(pair.sentence) == (
        "5/32 in between front left outer and front left inner: from 2/32 in on, "
        "check alignment and pressure."
    )


def test_two_numbers_say_nothing_yet_unless_one_is_past_the_limit(user: User) -> None:
    stay = make_intake()
    type_in(stay, user, "7", "8")
    assert (stands(stay, DEPTH), stands(stay, WEAR)) == ("", "")
    type_in(stay, user, "1", at="RF")
    assert (stands(stay, DEPTH, "RF"), stands(stay, WEAR, "RF")) == ("1", "")
    assert [finding.title for finding in stay.findings.all()] == [
        "Tread depth, RF: 1/32 in of tread"
    ]


def test_a_bald_edge_is_one_finding_of_depth_and_one_of_wear(user: User) -> None:
    stay = make_intake()
    type_in(stay, user, "1", "1.5", "8")
    found = stay.findings.values_list("reading__criterion", "deficiency")
    assert dict(found) == {DEPTH: "dangerous", WEAR: "minor"}
    worst = section(stay, ACROSS).worst
    assert worst is not None
    assert worst.finding == stay.findings.get(reading__criterion=DEPTH)


def test_a_number_read_anew_changes_what_came_from_it(user: User) -> None:
    stay = make_intake()
    type_in(stay, user, "3", "8", "8")
    one(stay, user, ACROSS, "LF-inner", "7")
    assert (stands(stay, DEPTH), stands(stay, WEAR)) == ("7", "good")
    assert list(stay.findings.open()) == []


def test_a_lower_number_read_by_itself_stays(user: User) -> None:
    stay = make_intake()
    one(stay, user, DEPTH, "LF", "4")
    type_in(stay, user, "5", "5", "6")
    assert (stands(stay, DEPTH), stands(stay, WEAR)) == ("4", "good")


def test_millimeters_are_held_against_32nds(user: User) -> None:
    # 2/32 in are 1.5875 mm (NIST: an inch is 25.4 mm).
    stay = make_intake()
    type_in(stay, user, "5", "5")
    one(stay, user, ACROSS, "LF-outer", "2.3", unit="mm")
    reading = stay.readings.current().get(criterion=DEPTH)
    assert (reading.typed, reading.unit) == ("2.3", "mm")
    assert stands(stay, WEAR) == "PP worn-outer-edge"


def test_the_final_sheet_takes_the_depth_and_leaves_the_wear(user: User) -> None:
    stay = make_intake()
    begin_inspection(intake=stay, depth=Depth.FINAL, odometer_mi=148_200, by=user)
    type_in(stay, user, "3", "7", "8", final=True)
    rows = stay.readings.current().filter(final=True).exclude(criterion=ACROSS)
    assert list(rows.values_list("criterion", "typed")) == [(DEPTH, "3")]


def test_twelve_numbers_are_never_in_the_way(user: User) -> None:
    stay = make_intake()
    left = sheet_of(stay, Depth.FULL).left
    for at in ("LF", "RF", "LR", "RR"):
        one(stay, user, DEPTH, at, "8")
    sheet = sheet_of(stay, Depth.FULL)
    assert (sheet.left, asked(stay)) == (left - 4, [])
    row: Any = with_sheet_state(Intake.objects.filter(pk=stay.pk)).get()
    assert row.left - sheet.left == points_at(stay, Depth.FULL) - left
    assert section(stay, ACROSS).state == "not needed"
    assert sheet_of(stay, Depth.LOOK).section(ACROSS) is None


def test_they_are_asked_of_a_tire_near_its_limit_and_come_next(user: User) -> None:
    # 4/32 in is where shops advise a new tire: common practice, no source.
    stay = make_intake()
    for at, number in (("RR", "6"), ("LF", "6"), ("RF", "6"), ("LR", "4")):
        one(stay, user, DEPTH, at, number)
    assert asked(stay) == ["LR-inner", "LR-middle", "LR-outer"]
    sheet = sheet_of(stay, Depth.FULL)
    last = sheet.point(DEPTH, "RR")
    assert last is not None
    following = sheet.next_unread(last)
    assert following is not None
    assert (following.criterion.code, following.position) == (ACROSS, "LR-inner")
    assert section(stay, ACROSS).state == "3 asked"


def test_they_are_asked_where_two_tires_of_an_axle_differ(user: User) -> None:
    # 3/32 in: common practice, no source.
    stay = make_intake()
    one(stay, user, DEPTH, "LF", "6")
    one(stay, user, DEPTH, "RF", "9")
    assert {at.partition("-")[0] for at in asked(stay)} == {"LF", "RF"}


def test_they_are_asked_where_a_tire_looks_unevenly_worn_and_once_begun(user: User) -> None:
    stay = make_intake()
    one(stay, user, "tire-wear", "RR", "5.2.3 e")
    assert asked(stay) == ["RR-inner", "RR-middle", "RR-outer"]
    type_in(stay, user, "7", at="LF")
    assert asked(stay) == ["LF-middle", "LF-outer", "RR-inner", "RR-middle", "RR-outer"]


def test_who_ends_the_sheet_leaves_no_detail_unread(user: User) -> None:
    stay = make_intake()
    row = begin_inspection(intake=stay, depth=Depth.FULL, by=user)
    whole = sum(one.unread for one in sheet_of(stay).sections if not one.criterion.detail_of)
    assert end_inspection(inspection=row, by=user).unread == whole


def test_the_report_names_what_was_asked_and_not_read(user: User) -> None:
    stay = make_intake()
    assert [one for one in report_of(stay, "R-1").not_needed if "across" in one.title] == []
    one(stay, user, DEPTH, "LF", "3")
    missed = Missed(criterion=ACROSS, position="LF-outer", because="Weather or light")
    record_not_read(intake=stay, missed=missed, by=user)
    found = [one for one in report_of(stay, "R-1").not_needed if "across" in one.title]
    assert {one.because for one in found} >= {"Weather or light"}
    assert found[0].title == "Tread across the tire"
