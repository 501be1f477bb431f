"""The pages of months and duties, as a treasurer goes through them."""

from __future__ import annotations

from datetime import date
from io import BytesIO
from typing import TYPE_CHECKING, Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from pypdf import PdfReader

from program.closing.actions import record_duty
from program.closing.kinds import StepKind
from program.models import CloseStep, DutyDone, ShutMonth
from shared.accounts.roles import RoleKind
from tests.factories import make_entry, make_fund
from tests.program.closing.months import OCTOBER, gift, shut, tick_all, treasurer
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db
MONTHS = "/money/months/"
PAGE, DUTIES = f"{MONTHS}2026/10/", f"{MONTHS}duties/"


def test_a_treasurer_goes_through_a_month_shuts_it_and_opens_it_again(client: Client) -> None:
    user = sign_in(client, RoleKind.TREASURER)
    gift(OCTOBER)
    assert "Next to shut: October 2026." in words(client.get(MONTHS))
    for kind in StepKind:
        answer = client.post(f"{PAGE}{kind}/tick/", {f"{kind}-note": "Compared by hand."})
        assert (answer.status_code, answer["Location"]) == (302, PAGE)
    page = words(client.get(PAGE))
    assert "October 2026: ready to shut" in page
    assert f"Ticked by {user} on Nov 30, 10:00: Compared by hand." in page
    assert client.post(f"{PAGE}shut/").status_code == 302
    page = words(client.get(PAGE))
    assert f"Shut by {user} on Nov 30, 10:00. Nothing more is booked in it." in page
    assert client.post(f"{PAGE}open/", {"reason": "A late bill."}).status_code == 302
    assert "Opened again: A late bill." in words(client.get(PAGE))


def test_a_month_says_what_stands_in_the_way_and_refuses_a_forced_shutting(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    gift(OCTOBER)
    assert "It can’t be shut yet" in words(client.get(PAGE))
    answer = client.post(f"{PAGE}shut/")
    assert answer.status_code == 422
    assert answer.context["form"].non_field_errors()[0].startswith("Not ticked: bank, ")
    assert ShutMonth.objects.count() == 0


def test_a_line_that_looks_open_is_refused_beside_its_note(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    make_entry(("1010", "1230", 22_00, make_fund()), on=OCTOBER)
    answer = client.post(f"{PAGE}cores/tick/", {"cores-note": ""})
    assert answer.status_code == 422
    assert "The books don’t agree. Say why it may stand as it is." in words(answer)
    assert CloseStep.objects.count() == 0


def test_a_tick_is_taken_back_on_a_page_of_its_own(client: Client) -> None:
    sign_in(client, RoleKind.COORDINATOR)
    client.post(f"{PAGE}shelf/tick/")
    undo = f"{PAGE}shelf/undo/"
    assert "Take the tick of shelf count back" in words(client.get(undo))
    assert client.post(undo, {"because": ""}).status_code == 422
    assert client.post(undo, {"because": "Counted anew."})["Location"] == PAGE
    assert "Counted anew." in words(client.get(PAGE))
    assert client.get(undo)["Location"] == PAGE


def test_the_board_reads_and_changes_nothing(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    assert "Not ticked." in words(client.get(PAGE))
    for address in (f"{PAGE}bank/tick/", f"{PAGE}bank/undo/", f"{PAGE}shut/", f"{PAGE}open/"):
        assert client.post(address).status_code == 403
    assert client.post(f"{DUTIES}2026/ties/").status_code == 403
    assert client.get(DUTIES).status_code == 200


def test_a_coordinator_shuts_and_does_not_open(client: Client) -> None:
    tick_all(OCTOBER, sign_in(client, RoleKind.COORDINATOR))
    assert client.post(f"{PAGE}shut/").status_code == 302
    assert "A treasurer can open it again, with a reason." in words(client.get(PAGE))
    assert client.get(f"{PAGE}open/").status_code == 403


def test_opening_asks_why(client: Client) -> None:
    shut(OCTOBER, sign_in(client, RoleKind.TREASURER))
    assert "Open October 2026 again" in words(client.get(f"{PAGE}open/"))
    assert client.post(f"{PAGE}open/", {"reason": ""}).status_code == 422


def test_a_month_lists_its_spends_without_a_paper(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    make_entry(("6070", "1010", 70_00, make_fund()), on=OCTOBER)
    page = client.get(PAGE)
    assert "Spends without a paper: 1" in words(page)
    assert "/money/papers/?since=2026-10-01&amp;until=2026-10-31" in page.content.decode()


def test_the_last_month_of_the_year_leads_to_the_year_file(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    december = date(2025, 12, 1)
    shut(december, treasurer())
    assert "Make the year file for the auditor" in words(client.get(f"{MONTHS}2025/12/"))


@pytest.mark.parametrize("address", ["2026/13/", "1/1/", "2026/10/tea/undo/", "duties/2026/tea/"])
def test_what_there_is_not_is_not_found(client: Client, address: str) -> None:
    sign_in(client, RoleKind.TREASURER)
    assert client.get(MONTHS + address).status_code == 404


@pytest.mark.parametrize("year", ["2025", "", "x", "99999999"])
def test_years_are_asked_for_in_the_address(client: Client, year: str) -> None:
    sign_in(client, RoleKind.BOARD)
    shown = "2025" if year == "2025" else "2026"
    assert f"Months of fiscal year {shown}" in words(client.get(MONTHS, {"year": year}))
    assert f"Duties of {shown}" in words(client.get(DUTIES, {"year": year}))


def test_the_year_is_on_one_page_with_what_comes_next_first(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    page = words(client.get(DUTIES))
    assert "Next: Book the gifts of the year’s last days, Thursday, December 31." in page
    law = (
        "Jan 31 (a Saturday: by law until Monday, Feb 2): Give and file contractor forms (1099-NEC)"
    )
    assert law in page
    assert "instructions for Form 1098-C, 2006 edition (text-seen, 2006 edition)." in page


def test_a_duty_is_recorded_and_taken_back(client: Client) -> None:
    user = sign_in(client, RoleKind.TREASURER)
    address = f"{DUTIES}2026/contractors/"
    assert "Give and file contractor forms" in words(client.get(address))
    typed: dict[str, Any] = {"applies": "no", "on": "2026-11-30", "note": ""}
    refused = client.post(address, typed)
    assert (refused.status_code, "Say why the duty does not apply." in words(refused)) == (
        422,
        True,
    )
    client.post(address, typed | {"note": "Nobody was paid."})
    assert f"Does not apply: Nobody was paid. ({user})" in words(client.get(DUTIES))
    client.post(f"{address}undo/")
    assert DutyDone.objects.filter(undone_at=None).count() == 0
    assert "Nothing is on record of this duty." in words(
        client.post(f"{address}undo/", follow=True)
    )


def queries(client: Client, address: str) -> int:
    with CaptureQueriesContext(connection) as asked:
        assert client.get(address).status_code == 200
    return len(asked)


@pytest.mark.parametrize("address", [MONTHS, PAGE, DUTIES])
def test_a_page_asks_the_database_as_often_for_many_rows_as_for_one(
    client: Client, address: str
) -> None:
    user = sign_in(client, RoleKind.TREASURER)
    gift(OCTOBER)
    client.post(f"{PAGE}shelf/tick/")
    record_duty(year=2026, code="winter", on=OCTOBER, note="", applies=True, by=user)
    client.get(address)
    one = queries(client, address)
    gift(OCTOBER)
    gift(OCTOBER, 5_00)
    for kind in ("cores", "payables", "releases"):
        client.post(f"{PAGE}{kind}/tick/")
    for code in ("ties", "guideline"):
        record_duty(year=2026, code=code, on=OCTOBER, note="", applies=True, by=user)
    client.get(address)
    assert queries(client, address) == one


@pytest.mark.parametrize("number", ["0", "13", "9" * 11, "9" * 40])
def test_a_month_that_the_calendar_lacks_has_no_page(client: Client, number: str) -> None:
    sign_in(client, RoleKind.TREASURER)
    for address in (f"2026/{number}/", f"{number}/1/", f"2026/{number}/open/"):
        assert client.get(f"{MONTHS}{address}").status_code == 404
    assert client.post(f"{MONTHS}2026/{number}/shut/").status_code == 404


def test_a_tick_that_comes_too_late_says_why(client: Client) -> None:
    user = sign_in(client, RoleKind.TREASURER)
    gift(OCTOBER)
    sent = {"shelf-note": "Counted."}
    client.post(f"{PAGE}shelf/tick/", sent)
    again = client.post(f"{PAGE}shelf/tick/", sent)
    assert "This line of the list is done already." in words(again)
    CloseStep.objects.all().delete()
    shut(OCTOBER, user)
    late = client.post(f"{PAGE}shelf/tick/", sent)
    assert late.status_code == 422
    assert "October 2026 is shut. Open it first, with a reason." in words(late)


def test_the_sheet_for_the_wall_is_of_the_year_asked_for(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    sheet = client.get(f"{DUTIES}2027/")
    assert sheet["Content-Type"] == "application/pdf"
    assert sheet["Content-Disposition"] == 'inline; filename="duties-2027.pdf"'
    text = PdfReader(BytesIO(sheet.content)).pages[0].extract_text()
    assert "Duties of 2027" in text
    assert client.get(f"{DUTIES}1899/").status_code == 404
