from __future__ import annotations

from enum import StrEnum

from django.db.models import Q

from shared.rules import above_zero, exactly_one_of


class Color(StrEnum):
    RED = "red"
    BLUE = "blue"


def test_a_state_field_holds_one_value_of_its_enum() -> None:
    rule = exactly_one_of("color_known", "paint_color", Color)
    assert (rule.name, rule.condition) == ("color_known", Q(paint_color__in=["red", "blue"]))
    assert rule.violation_error_message == "This paint color is not known to the program."


def test_a_number_of_things_starts_at_one() -> None:
    rule = above_zero("quantity_above_zero", "quantity", "The quantity")
    assert rule.condition == Q(quantity__gt=0)
    assert rule.violation_error_message == "The quantity must be more than zero."
