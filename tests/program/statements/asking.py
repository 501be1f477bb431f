"""Asking for a statement as its page, its paper or its sheet."""

from __future__ import annotations

import csv
from io import BytesIO, StringIO
from typing import TYPE_CHECKING, Any

from django.urls import reverse
from pypdf import PdfReader

from program.models import Transfer
from tests.factories import make_entry
from tests.vehicles.pages import words

if TYPE_CHECKING:
    from django.test import Client

    from program.models import Case, Fund

SPAN = {"from_on": "2026-01-01", "until_on": "2026-12-31"}


def at(kind: str, name: str) -> str:
    return reverse(f"statements:{kind}", args=[name])


def shown(client: Client, name: str, **days: str) -> str:
    return words(client.get(at("statement", name), SPAN | days))


def sheet(client: Client, name: str) -> list[list[str]]:
    response = client.get(at("statement_csv", name), SPAN)
    assert response["Content-Type"] == "text/csv; charset=utf-8"
    return list(csv.reader(StringIO(response.content.decode())))


def pages(response: Any) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(response.content)).pages]


def spend(fund: Fund, case: Case, cents: int) -> None:
    """Book parts for one case."""
    entry = make_entry(("1010", "4010", 1, fund))
    Transfer.objects.create(
        program=entry.program,
        entry=entry,
        debit="6010",
        credit="1010",
        cents=cents,
        fund=fund,
        case=case,
    )
