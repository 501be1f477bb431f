"""A car goes back unrepaired on a phone: signed in Spanish, confirmed, all it held freed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from program.models import Case, Commitment
from program.planning.actions import approve_plan
from program.planning.jobs import input_of
from program.planning.queries import newest_plan
from shared.models import Document, Message, User
from sponsors.models import Reservation
from tests.journeys import town
from tests.journeys.axe import violations
from tests.journeys.test_signature import draw
from vehicles.models import Departure, Intake

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from shared.models import Program
    from tests.journeys.conftest import Site

pytestmark = pytest.mark.e2e


def leaving(program: Program) -> tuple[Case, Intake]:
    """Approve the plan; return a Spanish household's case whose car is dangerous and held for."""
    imke, plan = User.objects.get(username="imke"), newest_plan(program)
    assert plan is not None
    approve_plan(plan=plan, now=input_of(plan), by=imke)
    case = Case.objects.get(number="26-042")
    stay = Intake.objects.get(vehicle=case.vehicle, left_on=None)
    assert stay.findings.filter(deficiency="dangerous", cleared_on=None).exists()
    assert Commitment.objects.filter(case=case, released_by=None).exists()
    return case, stay


def looked_at(page: Page) -> list[str]:
    """Return what axe has to say, and whether the page is wider than the phone."""
    fits = page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    return violations(page) + ([] if fits else [f"{page.url} is too wide"])


def fill_in(page: Page) -> None:
    """Type why the car goes, and sign on the pad."""
    page.get_by_label("Why it goes back unrepaired").fill("The frame is rusted through.")
    page.get_by_label("The case stays open").check()
    page.get_by_label("They arrange their own tow").check()
    draw(page, (0.2, 0.5), (0.5, 0.25), (0.8, 0.5))
    page.get_by_role("button", name="Look at what will happen").click()


def handed_out(page: Page) -> bytes:
    """Return the notice that the page leads to."""
    href = page.get_by_role("link", name="The notice as it was handed out").get_attribute("href")
    assert href is not None
    return page.request.get(href).body()


def test_a_dangerous_car_goes_back_with_a_notice_in_spanish(program: Program, site: Site) -> None:
    case, stay = leaving(program)
    with site.window("imke", width=390, height=844) as page:
        page.goto(f"/cases/{case.number}/")
        page.get_by_role("link", name="Return it unrepaired").click()
        page.locator('div[lang="es"]').wait_for()
        found = looked_at(page)
        fill_in(page)
        page.get_by_role("heading", name="The car goes, and this can’t be undone").wait_for()
        found += looked_at(page)
        assert not Departure.objects.exists()
        page.get_by_role("button", name="Return it unrepaired").click()
        page.get_by_text("Returned unrepaired. All that was kept for it is free.").wait_for()
        found += looked_at(page)
        assert handed_out(page) == bytes(Document.objects.get().content)
    assert found + site.trouble == []
    departure = Departure.objects.get()
    assert (departure.language, departure.intake, len(departure.strokes)) == ("es", stay, 1)
    assert not Commitment.objects.filter(case=case, released_by=None).exists()
    assert not Reservation.objects.standing().filter(need__item__intake=stay).exists()
    town.work()
    assert Message.objects.get(key=f"returned:{departure.pk}").state in {"sent", "held"}
    plan = newest_plan(program)
    assert plan is not None
    assert (plan.state, case.number in str(plan.result["plan"])) == ("ready", False)
