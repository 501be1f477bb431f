from __future__ import annotations

import pytest

from shared.documents.models import Document
from tests.factories import make_program
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def document() -> Document:
    return Document(
        program=make_program(),
        number="A-2026-0001",
        title="Acknowledgment",
        holder_kind="sponsor",
        holder_id=1,
        content=b"%PDF-1.4",
    )


def test_a_document_number_is_given_once() -> None:
    document().save()
    sentence = "A document with this number was issued already."
    assert_refused(document(), "document_number_once", sentence)
