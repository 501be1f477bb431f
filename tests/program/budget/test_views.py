from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from program.budget.models import BudgetLine
from shared.accounts.roles import RoleKind
from tests.factories import make_entry, make_fund, make_program, make_user
from tests.program.budget.lines import make_line
from tests.vehicles.pages import BACKEND

pytestmark = pytest.mark.django_db

PAGE = "/money/budget/"


def signed_in(role: RoleKind = RoleKind.TREASURER) -> Client:
    client = Client()
    client.force_login(make_user(role), BACKEND)
    return client


def test_the_page_shows_the_year_that_is_asked_for() -> None:
    make_line(120_00)
    make_line(9_99, year=2025)
    client = signed_in()
    now, before = client.get(PAGE), client.get(PAGE, {"year": "2025"})
    assert now.context["shown"].report.went_out.budget == 120_00
    assert before.context["shown"].report.went_out.budget == 9_99
    assert "It ties" in now.content.decode()


def test_a_year_or_fund_that_is_not_there_is_told_and_this_year_shown() -> None:
    make_line(120_00)
    answer = signed_in().get(PAGE, {"year": "31", "fund": "NONE"})
    assert answer.status_code == 200
    assert answer.context["shown"].year.year == 2026
    assert len(answer.context["form"].errors) == 2


def test_a_narrowed_page_says_what_it_leaves_out() -> None:
    make_line(120_00, fund=make_fund(code="TOOL", name="tool fund"))
    make_line(60_00)
    text = signed_in().get(PAGE, {"fund": "TOOL"}).content.decode()
    assert "Only Tool fund: 1 of the year’s rows are left out" in " ".join(text.split())


def test_the_paper_and_the_sheet_are_of_what_the_page_shows() -> None:
    make_line(120_00, fund=make_fund(code="TOOL"))
    make_line(60_00)
    client = signed_in()
    pdf = client.get(reverse("budget:report_pdf"), {"year": "2026"})
    sheet = client.get(reverse("budget:report_csv"), {"year": "2026", "fund": "TOOL"})
    assert (pdf["Content-Type"], pdf.content[:5]) == ("application/pdf", b"%PDF-")
    assert sheet["Content-Disposition"] == 'attachment; filename="budget-2026.csv"'
    assert sheet.content.decode().count("\r\n") == 2


def test_a_line_is_added_changed_and_removed() -> None:
    client = signed_in()
    add = reverse("budget:line_new", args=[2026])
    assert client.get(add).status_code == 200
    typed = {"account": "6010", "annual": "1,200.00"}
    assert client.post(add, typed)["Location"] == f"{PAGE}?year=2026"
    line = BudgetLine.objects.get()
    edit = reverse("budget:line_edit", args=[line.pk])
    assert b"1,200.00" in client.get(edit).content
    typed |= {"annual": "1,300.00", "version": "1"}
    assert client.post(edit, typed)["Location"] == reverse("budget:line_page", args=[line.pk])
    line.refresh_from_db()
    assert (line.cents, line.version) == (1300_00, 2)
    remove = reverse("budget:line_remove", args=[line.pk])
    assert client.post(remove, {"version": "2"})["Location"] == f"{PAGE}?year=2026"
    assert not BudgetLine.objects.exists()


def test_what_is_refused_stands_on_the_form() -> None:
    make_line()
    client = signed_in()
    answer = client.post(
        reverse("budget:line_new", args=[2026]), {"account": "6010", "annual": "1"}
    )
    assert answer.status_code == 422
    assert b"The year has a line of this account and fund already." in answer.content


def test_a_stale_form_changes_and_removes_nothing() -> None:
    line = make_line(version=3)
    client = signed_in()
    typed = {"account": "6010", "annual": "1", "version": "2"}
    answer = client.post(reverse("budget:line_edit", args=[line.pk]), typed)
    assert answer.status_code == 422
    for typed in ({"version": "2"}, {}):
        answer = client.post(reverse("budget:line_remove", args=[line.pk]), typed, follow=True)
        assert answer.status_code == 200
    assert BudgetLine.objects.get().cents == line.cents


def test_a_line_is_shown_by_month_with_its_log() -> None:
    fund = make_fund(name="tool fund")
    line = make_line(120_00, fund=fund)
    make_entry(("6010", "1010", 5_00, fund))
    text = (
        signed_in(RoleKind.BOARD).get(reverse("budget:line_page", args=[line.pk])).content.decode()
    )
    assert "6010 Parts bought: $120.00" in text
    assert "Tool fund. $5.00" in " ".join(text.split())
    assert "Change this line" not in text


def test_a_year_is_begun_from_the_year_before() -> None:
    make_line(100_00)
    client, url = signed_in(), reverse("budget:copy", args=[2027])
    assert b"Begin the budget 2027 from 2026" in client.get(url).content
    typed = {"start": "budget", "percent": "10"}
    assert client.post(url, typed)["Location"] == f"{PAGE}?year=2027"
    assert BudgetLine.objects.get(year=2027).cents == 110_00
    again = client.post(url, typed)
    assert again.status_code == 422
    assert BudgetLine.objects.count() == 2


@pytest.mark.parametrize("year", [1, 99999])
def test_a_year_beyond_any_budget_is_not_found(year: int) -> None:
    client = signed_in()
    assert client.get(f"{PAGE}{year}/new/").status_code == 404
    assert client.get(f"{PAGE}{year}/copy/").status_code == 404


def test_who_reads_the_office_reads_and_only_bookkeepers_write() -> None:
    line = make_line()
    board, technician = signed_in(RoleKind.BOARD), signed_in(RoleKind.TECHNICIAN)
    assert board.get(PAGE).status_code == 200
    assert technician.get(PAGE).status_code == 403
    writing = [reverse("budget:line_new", args=[2026]), reverse("budget:line_edit", args=[line.pk])]
    for url in (*writing, reverse("budget:copy", args=[2026])):
        assert board.get(url).status_code == 403
    assert board.post(reverse("budget:line_remove", args=[line.pk])).status_code == 403
    assert signed_in().get(reverse("budget:line_remove", args=[line.pk])).status_code == 405


def test_a_line_of_another_program_is_not_there() -> None:
    line = make_line(program=make_program(name="Other garage"))
    make_program()
    client = Client()
    user = make_user(RoleKind.TREASURER, program=make_program(name="Third garage"))
    client.force_login(user, BACKEND)
    for name in ("line_page", "line_edit"):
        assert client.get(reverse(f"budget:{name}", args=[line.pk])).status_code == 404
    assert client.post(reverse("budget:line_remove", args=[line.pk])).status_code == 404


def test_no_file_is_made_of_another_year_than_the_one_asked_for() -> None:
    make_line(120_00)
    client = signed_in()
    for name in ("report_pdf", "report_csv"):
        answer = client.get(reverse(f"budget:{name}"), {"year": "31"}, follow=True)
        assert answer.redirect_chain == [(f"{PAGE}?year=31", 302)]
        assert "choose one of the answers offered." in answer.content.decode()
