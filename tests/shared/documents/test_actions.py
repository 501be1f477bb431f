"""Issuing documents."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from shared.documents.actions import issue
from shared.models import Document
from tests.factories import make_address, make_user

pytestmark = pytest.mark.django_db


def test_a_document_is_kept_byte_by_byte_and_names_its_holder() -> None:
    holder, user = make_address(), make_user()
    made = issue(holder=holder, number="N-1", title="Notice", content=b"%PDF\x00\xff", by=user)
    kept = Document.objects.get(pk=made.pk)
    assert (bytes(kept.content), kept.number, kept.title) == (b"%PDF\x00\xff", "N-1", "Notice")
    assert (kept.holder_kind, kept.holder_id, kept.by) == ("address", holder.pk, user)


def test_a_number_is_issued_once() -> None:
    holder = make_address()
    issue(holder=holder, number="N-1", title="Notice", content=b"one", by=None)
    with pytest.raises(ValidationError) as refusal:
        issue(holder=holder, number="N-1", title="Notice", content=b"two", by=None)
    assert refusal.value.messages == ["A document with this number was issued already."]
    assert bytes(Document.objects.get().content) == b"one"
