"""What it refuses; the pictures themselves are taken in `tests/journeys/test_pictures.py`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.core.management import CommandError, call_command

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.django_db


def test_without_a_demonstration_there_is_nothing_to_show(tmp_path: Path) -> None:
    with pytest.raises(CommandError) as caught:
        call_command("pictures", folder=tmp_path / "pictures")
    assert str(caught.value) == "There is no demonstration here. Start manage.py demo first."
    assert list(tmp_path.iterdir()) == []
