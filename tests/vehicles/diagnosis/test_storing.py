"""Taking over what the trouble codes of a stay say of the checks of a diagnosis.

That codes set on a weak battery wait for it, and that a code proves no part, is common practice, no
source.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError

from tests.factories import TODAY, make_intake, make_scan
from tests.vehicles.diagnosis.rows import HOT, make_diagnosis, see
from vehicles.diagnosis.gathering import session_of, told_of
from vehicles.diagnosis.storing import set_up, take_codes
from vehicles.models import CodeScan, Conclusion, Finding, Observation

if TYPE_CHECKING:
    from vehicles.diagnosis.spoken import Told
    from vehicles.models import Diagnosis

pytestmark = pytest.mark.django_db

CODED = f"""{HOT}
[checks.level.codes]
low = ["P0128"]

[checks.fan-runs.codes]
stands = ["P0480"]

[checks.gas.codes]
gas = ["P0300"]

[checks.road.codes]
hot = ["P0217"]
"""


def coded(codes: str = "P0217", **fields: Any) -> Diagnosis:
    """Return a diagnosis of a car whose codes were read."""
    stay = make_intake()
    if codes or fields.get("complete"):
        make_scan(stay, codes, **fields)
    return make_diagnosis(stay, text=CODED)


def told(row: Diagnosis) -> Told:
    found = told_of(row.intake, session_of(row))
    assert found is not None
    return found


def take(row: Diagnosis, *checks: str, **fields: Any) -> list[Observation]:
    scan = fields.pop("scan", None) or told(row).scan
    by = fields.pop("by", None) or row.begun_by
    return take_codes(diagnosis=row, scan=scan, checks=checks, by=by, **fields)


def refused(row: Diagnosis, *checks: str, **fields: Any) -> dict[str, list[str]]:
    """Return what is refused, by field; nothing is recorded then."""
    before = list(Observation.objects.values())
    with pytest.raises(ValidationError) as refusal:
        take(row, *checks, **fields)
    assert list(Observation.objects.values()) == before
    error = refusal.value
    return error.message_dict if hasattr(error, "error_dict") else {"": error.messages}


def kept(row: Diagnosis) -> list[tuple[str, str, str, str]]:
    rows = row.observations.standing()
    return list(rows.values_list("check_code", "outcome", "source", "note"))


def test_a_code_becomes_the_outcome_it_stands_for_with_its_source() -> None:
    row = coded("P0217")
    take(row, "road")
    assert kept(row) == [("road", "hot", "codes", "P0217.")]
    assert session_of(row).observed == {"road": "hot"}


def test_what_a_code_says_is_recorded_although_nothing_was_driven_or_set_up() -> None:
    row = coded("P0217")
    row.intake.consents.exclude(act="diagnose").delete()
    take(row, "road")
    assert not row.setups.exists()


def test_many_codes_leave_room_for_the_note() -> None:
    codes = [f"P{number:04d}" for number in range(100, 150)]
    stay = make_intake()
    make_scan(stay, " ".join(codes))
    low = ", ".join(f'"{code}"' for code in codes)
    row = make_diagnosis(stay, text=CODED.replace('low = ["P0128"]', f"low = [{low}]"))
    (seen,) = take(row, "level", note="n" * 300)
    first = ", ".join(codes[:15])
    assert seen.note == f"{first} and 35 more. {'n' * 300}"


def test_a_code_makes_no_finding_and_no_conclusion() -> None:
    take(coded("P0217"), "road")
    assert (Finding.objects.count(), Conclusion.objects.count()) == (0, 0)


def test_only_what_is_ticked_is_taken_over() -> None:
    row = coded("P0217 P0128")
    assert told(row).ticked == ("level", "road")
    take(row, "level")
    assert [check for check, *_ in kept(row)] == ["level"]
    assert refused(row) == {"checks": ["Tick what is taken over."]}


def test_what_a_technician_recorded_is_left_as_it_stands() -> None:
    row = coded("P0217 P0128")
    see(row, "level", "normal")
    assert [(one.spoken.check, one.recorded) for one in told(row).rows if one.step] == [
        ("level", "At its mark")
    ]
    taken = take(row, "level", "road")
    assert [one.check_code for one in taken] == ["road"]
    assert ("level", "normal", "seen", "") in kept(row)


def test_taking_over_twice_records_once() -> None:
    row = coded("P0217")
    assert len(take(row, "road")) == 1
    assert take(row, "road") == []
    assert len(kept(row)) == 1


def test_a_sound_outcome_is_offered_after_all_modules_were_read_and_never_assumed() -> None:
    row = coded("", complete=True)
    found = told(row)
    assert [one.spoken.offered for one in found.rows] == [True] * 4
    assert found.ticked == ()
    take(row, "level")
    assert kept(row) == [("level", "normal", "codes", "No code stored.")]


def test_no_sound_outcome_is_offered_once_codes_were_cleared_on_this_stay() -> None:
    row = coded("P0217", cleared_at=dt.datetime(2026, 11, 1, tzinfo=dt.UTC))
    CodeScan.objects.filter(intake=row.intake).update(at=dt.datetime(2026, 11, 1, tzinfo=dt.UTC))
    make_scan(row.intake)
    assert told(row).rows == ()


def test_a_pending_code_says_so_and_is_not_ticked() -> None:
    row = coded("P0217")
    CodeScan.objects.filter(intake=row.intake).get().codes.update(storage="pending")
    assert told(row).ticked == ()
    take(row, "road")
    assert kept(row) == [("road", "hot", "codes", "P0217 (pending).")]


def test_codes_on_a_weak_battery_need_a_note() -> None:
    row = coded("P0217", battery_volts="11.9")
    assert str(told(row).words[0]) == "Battery first: 11.9 V at rest is weak."
    assert refused(row, "road") == {
        "note": ["These codes were set on a weak battery. If they count all the same, say why."]
    }
    take(row, "road", note=" Charged, and it came back. ")
    assert kept(row) == [("road", "hot", "codes", "P0217. Charged, and it came back.")]


def test_an_unknown_battery_is_said() -> None:
    found = told(coded("P0217", battery_volts=""))
    assert (str(found.words[0]), found.weak) == ("Battery first: its state is unknown.", False)


def test_what_has_to_be_seen_first_needs_a_note() -> None:
    row = coded("P0300")
    (one,) = told(row).rows
    sentence = "First Coolant level, cold: The dye needs coolant."
    assert one.against == (sentence,)
    assert refused(row, "gas") == {"note": [f"{sentence} If they count all the same, say why."]}
    take(row, "gas", note="Bubbles seen as well.")
    assert kept(row) == [("gas", "gas", "codes", "P0300. Bubbles seen as well.")]


def test_what_danger_bars_needs_a_note() -> None:
    row = coded("P0480")
    see(row, "level", "low")
    (sentence,) = told(row).rows[0].against
    assert refused(row, "fan-runs") == {
        "note": [f"{sentence} If they count all the same, say why."]
    }


def test_codes_read_meanwhile_are_shown_first() -> None:
    row = coded("P0217")
    shown = told(row).scan
    make_scan(row.intake, "P0128")
    sentence = "Codes were read or withdrawn meanwhile. Look, then take them over."
    assert refused(row, "road", scan=shown) == {"": [sentence]}
    CodeScan.objects.filter(intake=row.intake).update(
        withdrawn_at=dt.datetime(2026, 11, 25, tzinfo=dt.UTC)
    )
    assert refused(row, "road", scan=shown) == {"": [sentence]}


def test_a_check_to_which_no_code_speaks_is_refused() -> None:
    row = coded("P0217")
    for check in ("level", "nothing"):
        assert refused(row, "road", check) == {"checks": ["No code speaks to this check."]}


def test_nothing_is_taken_over_before_the_complaint_was_tried() -> None:
    stay = make_intake()
    make_scan(stay, "P0217")
    row = make_diagnosis(stay, text=CODED, verified=None)
    assert refused(row, "road") == {
        "": ["First say whether the complaint shows; then the checks count."]
    }


def test_an_ended_stay_takes_nothing_over() -> None:
    row = coded("P0217")
    row.intake.left_on = TODAY
    row.intake.save()
    sentence = "This stay has ended. Open a new intake to diagnose the car again."
    assert refused(row, "road") == {"": [sentence]}


def test_where_no_codes_were_read_nothing_is_told() -> None:
    row = coded("")
    assert told_of(row.intake, session_of(row)) is None


def test_a_setup_is_made_once() -> None:
    row = coded("")
    set_up(row, ("warm", "cold"), row.begun_by)
    set_up(row, ("warm",), row.begun_by)
    assert sorted(row.setups.values_list("code", flat=True)) == ["cold", "warm"]
