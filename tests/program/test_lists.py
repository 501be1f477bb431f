"""A list of the money takes as many queries for sixty rows as for three."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from program.models import Case, Entry, Fund, ImportRun, Paper, YearFile
from shared.accounts.roles import RoleKind
from tests.factories import make_entry, make_fund, make_program, make_sponsor, make_user
from tests.program.funds.work import make_ready, make_work
from tests.program.gifts.offers import accept, make_offer
from tests.program.ledger.books import books
from tests.vehicles.pages import sign_in

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

pytestmark = pytest.mark.django_db
FEW, MANY = 3, 60


def _fund() -> None:
    fund = make_fund(restricted=True, rule={"systems": ["tires"]})
    make_entry(("1010", "4010", 10_000, fund))


def _gift() -> None:
    offer = make_offer(fund_name=f"gift {uuid.uuid4()}", sponsor=make_sponsor())
    if offer.pk % 2:
        accept(offer)


def _spend() -> None:
    make_entry(("6010", "1010", 100, make_fund()), by=make_user())


def _file() -> None:
    YearFile.objects.create(
        program=make_program(),
        client_key=uuid.uuid4(),
        from_on=dt.date(2026, 1, 1),
        until_on=dt.date(2026, 12, 31),
        asked_by=make_user(),
    )


def _run() -> None:
    ImportRun.objects.create(program=make_program(), name="a", sha256="0" * 64, by=make_user())


def _work() -> None:
    make_work(make_ready(f"27-{Case.objects.count():03}"))


def _paper() -> None:
    entry, sha256 = Entry.objects.order_by("pk")[0], uuid.uuid4().hex * 2
    Paper.objects.create(
        program_id=entry.program_id,
        entry=entry,
        name="Bill",
        path=f"papers/{sha256}.pdf",
        kind="application/pdf",
        size=1,
        sha256=sha256,
        by=make_user(),
    )


def _move() -> None:
    make_entry(("6010", "1010", 100, Fund.objects.get(code="GEN")))


def _address(name: str) -> str:
    """Return the address of a list, or of the page of the first fund or entry of the books."""
    if name in {"funds:fund_page", "funds:fund_rule"}:
        return reverse(name, args=[Fund.objects.order_by("pk")[0].pk])
    if name == "papers:entry_papers":
        return reverse(name, args=[Entry.objects.order_by("pk")[0].pk])
    return reverse(name)


@pytest.mark.parametrize(
    ("name", "make"),
    [
        ("desk:first_page", _gift),
        ("funds:fund_list", _fund),
        ("funds:fund_page", _move),
        ("funds:fund_rule", _work),
        ("gifts:offer_list", _gift),
        ("papers:missing_list", _spend),
        ("papers:entry_papers", _paper),
        ("reports:file_list", _file),
        ("importing:run_list", _run),
    ],
)
def test_a_list_takes_as_many_queries_for_sixty_rows_as_for_three(
    client: Client, name: str, make: Callable[[], None]
) -> None:
    imports = name == "importing:run_list"
    sign_in(client, RoleKind.COORDINATOR if imports else RoleKind.TREASURER)
    books()

    def count(rows: int) -> int:
        for _ in range(rows):
            make()
        with CaptureQueriesContext(connection) as queries:
            assert client.get(_address(name)).status_code == 200
        return len(queries)

    few = count(FEW)
    assert count(MANY - FEW) == few
