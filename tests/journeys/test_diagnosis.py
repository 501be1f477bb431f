"""A technician finds what is wrong with a car, in a real browser."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from program.planning.gathering import gather
from shared.dates import plan_week
from tests.factories import make_case, make_household, make_intake, make_program
from tests.journeys.diagnosed import SURE
from tests.journeys.looking import (
    answer,
    ask_the_household,
    begin,
    could_not_look,
    is_barred,
    look,
    looked_at,
    photograph,
    repair,
    show,
    sign,
    take_codes_over,
    trouble,
)
from tests.journeys.sheets import PHONE, technician
from tests.vehicles.diagnosis.rows import make_diagnosis
from tests.vehicles.intake.shots import jpeg
from vehicles.models import Conclusion, Diagnosis, Observation, RepairItem
from vehicles.repairs.queries import after_causes, with_work

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

    from tests.journeys.conftest import Site
    from vehicles.models import Intake

pytestmark = [pytest.mark.e2e, pytest.mark.slow]
#: What a car shows whose fan is dead, and whose head gasket went with it.
HOT_ENGINE = {
    "coolant-level": "Low",
    "filled": "At its mark, it stays",
    "fan-runs": "It stands still",
    "fan-direct": "Fan dead or slow, or the relay is bad",
    "block-test": "Turns yellow",
}


@pytest.fixture
def stay(chromium: Browser, transactional_db: None) -> Intake:
    program = make_program()
    technician("Rosalind", "Amadi", program)
    technician("Tomas", "Voss", program)
    return make_intake(program=program)


def find_the_fan(page: Page, stay: Intake, shot: Path) -> Iterator[list[str]]:
    """Go through a whole diagnosis, and yield what axe finds on the way."""
    begin(page, stay, "se calienta en el tráfico", "Overheats")
    row = Diagnosis.objects.get()
    yield looked_at(page)
    ask_the_household(page)
    show(page)
    could_not_look(page, row)
    is_barred(page, row)
    yield looked_at(page)
    look(page, row, "coolant-level", "At its mark, clean")
    look(page, row, "filled", "At its mark, it stays")
    photograph(page, row, shot)
    yield looked_at(page)
    look(page, row, "fan-runs", "It stands still")
    take_codes_over(page)
    yield looked_at(page)
    look(page, row, "fan-direct", "Fan dead or slow, or the relay is bad")
    sign(page, "Cooling fan motor or its relay")
    page.get_by_role("heading", name="Concluded").wait_for()
    yield looked_at(page)
    repair(page, "fan-motor")
    yield looked_at(page)


def test_a_dead_fan_is_found_on_a_phone(site: Site, stay: Intake, tmp_path: Path) -> None:
    shot = tmp_path / "tank.jpg"
    shot.write_bytes(jpeg())
    with site.window("rosalind", **PHONE) as page:
        found = [said for step in find_the_fan(page, stay, shot) for said in step]
    assert (found, trouble(site)) == ([], [])
    concluded = Conclusion.objects.get()
    assert (concluded.fault, concluded.sureness) == ("fan", "confirmed")
    assert RepairItem.objects.get().findings.get() == concluded.finding
    assert stay.photos.get().key == f"{Diagnosis.objects.get().pk}/coolant-level"
    kept = Observation.objects.standing()
    assert kept.get(check_code="coolant-added").outcome == "added"
    assert kept.get(check_code="codes").source == "codes"


def test_two_faults_are_concluded_and_the_second_hangs_on_the_first(
    site: Site, stay: Intake
) -> None:
    with site.window("rosalind") as page:
        begin(page, stay, "metal on metal when I brake", "Brakes squeal or grind")
        row = Diagnosis.objects.get()
        show(page)
        look(page, row, "kind", "Grinds, is felt")
        look(page, row, "which-stops", "Every stop")
        look(page, row, "thickness", "Backing on the rotor")
        look(page, row, "rotor-face", "Deep grooves or lip")
        found = looked_at(page)
        sign(page, "Pads worn to the backing")
        sign(page, "Rotor deeply scored")
        page.get_by_text("Brought about by: Pads worn to the backing").wait_for()
        found += looked_at(page)
    assert (found, trouble(site)) == ([], [])
    roots = Conclusion.objects.values_list("fault", "root__fault")
    assert set(roots) == {("metal", None), ("rotor", "metal")}


def test_what_contradicts_itself_is_named_and_looked_at_again(site: Site, stay: Intake) -> None:
    row = make_diagnosis(stay, text=SURE)
    with site.window("rosalind") as page:
        look(page, row, "level", "At its mark")
        look(page, row, "fan-runs", "It stands still")
        look(page, row, "level", "Low")
        page.get_by_role("heading", name="A contradiction").wait_for()
        found = looked_at(page)
        again = page.get_by_role("region", name="A contradiction").get_by_role("link")
        assert again.all_inner_texts() == ["Fan with the engine hot", "Coolant level, cold"]
        again.last.click()
        answer(page, "At its mark")
        page.get_by_role("heading", name="How likely").wait_for()
    assert (found, trouble(site)) == ([], [])


def test_a_gasket_waits_for_the_fan_that_killed_it(site: Site, stay: Intake) -> None:
    case = make_case(
        household=make_household(program=stay.program), vehicle=stay.vehicle, program=stay.program
    )
    with site.window("rosalind") as page:
        begin(page, stay, "steam from the hood", "Overheats")
        row = Diagnosis.objects.get()
        show(page)
        for check, outcome in HOT_ENGINE.items():
            look(page, row, check, outcome)
        sign(page, "Head gasket leaks")
        sign(page, "Cooling fan motor")
        page.get_by_text("Brought about by: Cooling fan motor or its relay.").wait_for()
        repair(page, "head-gasket")
        gasket = RepairItem.objects.get()
        held = planned(case.number, stay)
        page.goto(f"/cars/{stay.pk}/diagnosis/{row.pk}/")
        repair(page, "fan-motor")
    assert trouble(site) == []
    assert held.startswith("“Cooling fan motor or its relay” brought about what “")
    assert held.endswith("” repairs, and nobody repairs the cause.")
    fan = RepairItem.objects.exclude(pk=gasket.pk).get()
    first, orphans = after_causes(with_work(RepairItem.objects.all()))
    assert (first[gasket.pk], orphans) == ({fan.pk}, {})
    assert planned(case.number, stay) == ""


def planned(number: str, stay: Intake) -> str:
    """Return why the plan would hold a case; empty where it would not."""
    found = gather(stay.program, first_week_on=plan_week(stay.program.today()), weeks=2)
    [case] = [one for one in found.cases if one.id == number]
    return str(case.hold or "")


def test_sent_twice_or_back_and_again_a_check_is_recorded_once(site: Site, stay: Intake) -> None:
    row = make_diagnosis(stay)
    with site.window("rosalind", **PHONE) as page:
        page.goto(f"/cars/{stay.pk}/diagnosis/{row.pk}/checks/level/")
        page.get_by_label("Low", exact=True).check()
        page.get_by_role("button", name="Record and go on").dblclick()
        page.get_by_role("heading", name="Runs hot", level=1).wait_for()
        assert Observation.objects.get().outcome == "low"
        page.go_back()
        answer(page, "Low")
        page.get_by_role("heading", name="Runs hot", level=1).wait_for()
    assert Observation.objects.standing().get().outcome == "low"
    assert trouble(site) == []


def test_two_technicians_at_one_check_do_not_write_over_each_other(
    site: Site, stay: Intake
) -> None:
    row = make_diagnosis(stay)
    path = f"/cars/{stay.pk}/diagnosis/{row.pk}/checks/level/"
    with site.window("rosalind") as hers, site.window("tomas", **PHONE) as his:
        hers.goto(path)
        his.goto(path)
        answer(hers, "Low")
        answer(his, "At its mark")
        his.get_by_text("meanwhile").first.wait_for()
        found = looked_at(his)
    assert (found, trouble(site)) == ([], [])
    assert Observation.objects.get().outcome == "low"


def test_without_script_a_check_is_recorded_and_signed_for(site: Site, stay: Intake) -> None:
    row = make_diagnosis(stay)
    with site.window("rosalind", **PHONE, java_script_enabled=False) as page:
        look(page, row, "when", "Standing")
        look(page, row, "level", "At its mark")
        look(page, row, "fan-runs", "It stands still")
        sign(page, "Fan stands still")
        page.get_by_role("heading", name="Concluded").wait_for()
    assert Conclusion.objects.get().fault == "fan"
