from __future__ import annotations

from typing import Any

import pytest
from django.http import QueryDict

from program.decisions.forms import AuthorizeForm, OwnerForm, SupplementForm, WithdrawForm
from program.decisions.gathering import choosable, counted_items
from program.decisions.queries import works
from program.decisions.sheet import in_language, more_of
from tests.program.decisions.story import (
    NAME,
    estimated,
    make_car,
    make_over,
    make_photo,
    make_supplement,
    seen,
    typed,
)
from vehicles.custody.kinds import SignedHow

pytestmark = pytest.mark.django_db


def sent(values: dict[str, Any]) -> QueryDict:
    """Return the values as a browser sends them."""
    query = QueryDict(mutable=True)
    for name, value in values.items():
        query.setlist(name, value if isinstance(value, list) else [value])
    return query


def owner_form(**fields: str) -> OwnerForm:
    row = make_supplement()
    words = in_language(more_of(row), "en")
    signers = list(row.authorization.intake.vehicle.owners.all())
    return OwnerForm(sent(typed(row, **fields)), supplement=row, words=words, signers=signers)


def test_the_form_carries_the_estimate_and_the_amount_on_screen() -> None:
    _, stay = make_car()
    form = AuthorizeForm(estimate=estimated(stay))
    assert (form["estimate"].value(), form["cents"].value()) == (1, 10_000)


def test_what_no_frozen_estimate_counted_is_ticked() -> None:
    _, stay, item = make_over()
    photo, counted = make_photo(stay), counted_items(stay)
    items = choosable(stay, counted)
    form = SupplementForm(
        work=works([stay.pk])[stay.pk], items=items, photos=[photo], counted=counted
    )
    assert (form["items"].value(), form["seen"].value()) == ([item.pk], seen(stay))
    assert [pk for pk, _ in form.fields["photo"].choices] == [photo.pk]  # type: ignore[attr-defined]  # a choice field


def test_a_drawn_name_is_part_of_the_answer() -> None:
    form = owner_form()
    assert form.is_valid()
    answer = form.cleaned_data["answer"]
    assert (answer.yes, answer.how, answer.strokes) == (True, SignedHow.SCREEN, NAME)


def test_a_no_asks_for_no_signature() -> None:
    form = owner_form(yes="no", strokes="", because="Too much.")
    assert form.is_valid()
    assert form.cleaned_data["answer"].because == "Too much."


def test_a_form_that_stands_again_keeps_every_value_typed() -> None:
    row = make_supplement()
    form = WithdrawForm(sent({"because": ["a", "b"], "version": "1"}), supplement=row)
    form.renew(version=7)
    assert form["version"].value() == "7"
    assert dict(form.data.lists())["because"] == ["a", "b"]  # type: ignore[attr-defined]  # a QueryDict
