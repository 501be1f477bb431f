from __future__ import annotations

from enum import StrEnum

from shared.accounts.roles import RoleKind
from shared.choices import choices_of


class Color(StrEnum):
    DARK_RED = "dark_red"


def test_a_choice_is_called_by_its_label() -> None:
    assert choices_of(RoleKind)[1] == ("lead_technician", "Lead technician")


def test_a_kind_without_a_label_is_called_by_its_value() -> None:
    assert choices_of(Color) == [("dark_red", "dark red")]
