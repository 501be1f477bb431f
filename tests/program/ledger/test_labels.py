"""What caused an entry, in words and as a page."""

from __future__ import annotations

import pytest
from django.apps import apps
from django.urls import NoReverseMatch, reverse

from program.ledger.labels import CAUSES, id_of, kind_of


@pytest.mark.parametrize(
    ("key", "kind", "named"),
    [
        ("plan:5", "plan", "5"),
        ("plan:5:freed", "plan", "5"),
        ("import:2026-11-14 gift", "import", "2026-11-14 gift"),
        ("odd", "odd", ""),
    ],
)
def test_a_key_names_a_kind_and_a_row(key: str, kind: str, named: str) -> None:
    assert (kind_of(key), id_of(key)) == (kind, named)


@pytest.mark.parametrize("cause", CAUSES.values(), ids=CAUSES)
def test_each_cause_that_has_a_page_has_one_on_the_site(cause: object) -> None:
    url, fields = cause.url, cause.fields  # type: ignore[attr-defined]
    if not url:
        return
    arguments = [1 for _ in fields] if cause.model else []  # type: ignore[attr-defined]
    try:
        assert reverse(url, args=arguments).startswith("/")
    except NoReverseMatch:
        assert reverse(url, args=["26-041", *arguments[1:]]).startswith("/")


@pytest.mark.parametrize(
    ("model", "fields"), [(cause.model, cause.fields) for cause in CAUSES.values() if cause.model]
)
def test_each_row_that_a_cause_names_can_be_asked_for(model: str, fields: tuple[str, ...]) -> None:
    rows = apps.get_model(model)._default_manager.values_list(*fields)
    assert str(rows.query).startswith("SELECT")
