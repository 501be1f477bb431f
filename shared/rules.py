"""Database rules that many tables share, each with its sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db.models import CheckConstraint, Q

if TYPE_CHECKING:
    from enum import StrEnum


def exactly_one_of(name: str, field: str, kinds: type[StrEnum]) -> CheckConstraint:
    """Return the rule that a state field holds one value of its enum."""
    words = field.replace("_", " ")
    return CheckConstraint(
        name=name,
        condition=Q(**{f"{field}__in": [kind.value for kind in kinds]}),
        violation_error_message=f"This {words} is not known to the program.",
    )


def above_zero(name: str, field: str, what: str) -> CheckConstraint:
    """Return the rule that a number is one or more; `what` opens the sentence."""
    return CheckConstraint(
        name=name,
        condition=Q(**{f"{field}__gt": 0}),
        violation_error_message=f"{what} must be more than zero.",
    )
