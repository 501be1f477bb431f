"""A rule of the database, tried twice: as a sentence for people, and as the database's refusal."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

if TYPE_CHECKING:
    from django.db.models import Model


def assert_refused(row: Model, rule: str, sentence: str) -> None:
    """Assert that `row`, not saved yet, breaks the rule of that name and no other."""
    sentences = {
        constraint.name: str(constraint.violation_error_message)
        for constraint in row._meta.constraints
    }
    assert sentences[rule] == sentence
    with pytest.raises(ValidationError) as refusal:
        row.validate_constraints()
    assert refusal.value.messages == [sentence]
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save()
