"""The register as a list, and as a sheet."""

from __future__ import annotations

import csv
from io import StringIO
from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.vehicles.pages import sign_in
from tests.vehicles.shop.rows import DAY, make_piece, today
from vehicles.shop.duty import Standing
from vehicles.shop.tables import MARKS

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db


def test_the_sheet_holds_days_and_codes(client: Client) -> None:
    lift = make_piece(due_on=today() + 9 * DAY)
    make_piece(name="Jack", kind="jack", bay=None, tagged_out=True, inspected_on=None)
    sign_in(client, RoleKind.VOLUNTEER)
    answer = client.get(reverse("shop:shop_page"), {"export": "csv", "sort": "due_on"})
    rows = list(csv.reader(StringIO(answer.content.decode("utf-8-sig"))))
    due = lift.due_on.isoformat()
    assert rows[1] == [
        "Two-post lift",
        "Lift",
        str(lift.bay),
        "soon",
        f"{lift.inspected_on}",
        due,
        "12",
    ]
    assert rows[2][:4] == ["Jack", "Jack", "", "tagged_out"]


def test_each_standing_has_a_mark_and_the_graver_the_heavier() -> None:
    assert set(MARKS) == set(Standing)
    assert MARKS[Standing.TAGGED_OUT] == "dangerous"
