"""How models take their choices from the enums of the pure modules.

>>> from shared.accounts.roles import RoleKind
>>> choices_of(RoleKind)[0]
('coordinator', 'Coordinator')
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from enum import StrEnum


def choices_of(kinds: type[StrEnum]) -> list[tuple[str, str]]:
    """Return an enum as Django's choices, by its `label` where it has one."""
    return [
        (kind.value, str(getattr(kind, "label", kind.value.replace("_", " ")))) for kind in kinds
    ]
