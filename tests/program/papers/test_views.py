"""The pages of papers, as a treasurer goes through them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.core.files.storage import storages
from django.urls import reverse

from program.models import Paper
from program.papers.actions import add_paper
from shared.accounts.roles import RoleKind
from tests.factories import make_entry, make_fund, make_program, make_user
from tests.program.papers.files import PDF, photo, sent
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

    from program.models import Entry

pytestmark = pytest.mark.django_db
BILL = "Bill 4417 of Quayside Auto Parts"


def spend(what: str = "Front pads") -> Entry:
    return make_entry(("6010", "1010", 40_00, make_fund()), what=what)


def url(entry: Entry) -> str:
    return reverse("papers:entry_papers", args=[entry.pk])


def post(client: Client, entry: Entry, data: bytes, **fields: Any) -> Any:
    return client.post(url(entry), {"name": BILL, "file": sent(data)} | fields)


def test_a_treasurer_puts_a_bill_behind_an_entry(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    entry = spend()
    answer = post(client, entry, PDF)
    assert (answer.status_code, answer["Location"]) == (302, url(entry))
    page = words(client.get(url(entry)))
    assert f"Kept behind entry {entry.pk}: {BILL}." in page
    assert f"{Paper.objects.get().sha256[:12]}…" in page


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "The file is empty. Choose it again."),
        (b"MZ", "This file is neither a PDF nor a photo (JPEG or PNG), whatever its name says."),
        (PDF[:-8], "Only a part of the PDF arrived: its end is missing. Send it again."),
    ],
)
def test_a_file_that_cannot_be_kept_is_refused_beside_its_field(
    client: Client, data: bytes, sentence: str
) -> None:
    sign_in(client, RoleKind.TREASURER)
    answer = post(client, spend(), data)
    assert answer.status_code == 422
    assert answer.context["form"].errors == {"file": [sentence]}
    assert Paper.objects.count() == 0


def test_the_board_sees_papers_and_adds_none(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    entry = spend()
    assert "Keep this paper" not in words(client.get(url(entry)))
    assert post(client, entry, PDF).status_code == 403


def test_the_shop_and_strangers_see_no_paper(client: Client) -> None:
    paper = add_paper(entry=spend(), name=BILL, file=PDF, by=make_user())
    file = reverse("papers:paper_file", args=[paper.pk])
    assert client.get(file).status_code == 302
    sign_in(client, RoleKind.TECHNICIAN)
    assert [client.get(one).status_code for one in (file, url(paper.entry))] == [403, 403]
    other = make_user(RoleKind.TREASURER, program=make_program(name="Mill Lane Garage"))
    client.force_login(other, "django.contrib.auth.backends.ModelBackend")
    assert [client.get(one).status_code for one in (file, url(paper.entry))] == [404, 404]


@pytest.mark.parametrize(
    ("data", "kind", "how", "ending"),
    [
        (PDF, "application/pdf", "attachment", "pdf"),
        (photo("PNG"), "image/jpeg", "inline", "jpg"),
    ],
)
def test_a_file_is_handed_out_so_that_nothing_in_it_runs(
    client: Client, data: bytes, kind: str, how: str, ending: str
) -> None:
    sign_in(client, RoleKind.BOARD)
    paper = add_paper(entry=spend(), name=BILL, file=data, by=make_user())
    answer = client.get(reverse("papers:paper_file", args=[paper.pk]))
    assert (answer.status_code, answer["Content-Type"]) == (200, kind)
    name = f"paper-{paper.entry_id}-{paper.pk}.{ending}"
    assert answer["Content-Disposition"] == f'{how}; filename="{name}"'
    assert answer["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Cache-Control"] == "private, no-store"


def test_a_file_that_is_gone_is_not_found(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    paper = add_paper(entry=spend(), name=BILL, file=PDF, by=make_user())
    storages["private"].delete(paper.path)
    assert client.get(reverse("papers:paper_file", args=[paper.pk])).status_code == 404


def test_spends_without_a_paper_are_listed_and_narrowed(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    spend()
    spend("Rent")
    add_paper(entry=spend("Power"), name=BILL, file=PDF, by=make_user())
    page = reverse("papers:missing_list")
    assert "2 spends without a paper" in words(client.get(page))
    narrowed = client.get(page, {"words": "rent"})
    assert [row.what for row in narrowed.context["table"].data] == ["Rent"]
    none_left = words(client.get(page, {"since": "2027-01-01"}))
    assert "Nothing here matches what was asked for Show all" in none_left
    assert "Each spend has its paper" not in none_left


def test_the_list_asks_the_database_as_often_for_three_rows_as_for_one(
    client: Client, django_assert_num_queries: Any
) -> None:
    sign_in(client, RoleKind.TREASURER)
    page = reverse("papers:missing_list")
    spend()
    client.get(page)
    with django_assert_num_queries(6):
        client.get(page)
    spend()
    spend()
    with django_assert_num_queries(6):
        client.get(page)
