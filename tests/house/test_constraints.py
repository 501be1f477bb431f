"""What the database refuses is said in a sentence, and some test names each refusal."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.apps import apps
from django.db.models import BaseConstraint

from tests.house.tree import APPS, files, text_of

if TYPE_CHECKING:
    from collections.abc import Iterator


def constraints() -> Iterator[tuple[str, BaseConstraint]]:
    for app in APPS:
        for model in apps.get_app_config(app).get_models():
            for constraint in model._meta.constraints:
                yield model.__name__, constraint


def test_each_constraint_has_a_sentence_for_people() -> None:
    default = BaseConstraint.default_violation_error_message
    silent = [
        constraint.name
        for _, constraint in constraints()
        if constraint.violation_error_message == default
        or not str(constraint.violation_error_message).endswith(".")
    ]
    assert silent == []


def test_each_constraint_is_named_in_a_test() -> None:
    written = "\n".join(
        text_of(path) for path in files("tests", suffix=".py") if path.parent.name != "house"
    )
    untested = [
        f"{model}: {rule.name}" for model, rule in constraints() if rule.name not in written
    ]
    assert untested == []


@pytest.mark.parametrize("app", APPS)
def test_an_app_has_no_table_without_its_program(app: str) -> None:
    """Each table carries the program's key, so that a second program can share the installation."""
    shipped = {"Program", "Permission"}
    without = [
        model.__name__
        for model in apps.get_app_config(app).get_models()
        if model.__name__ not in shipped
        and "program" not in {field.name for field in model._meta.get_fields()}
    ]
    assert without == []
