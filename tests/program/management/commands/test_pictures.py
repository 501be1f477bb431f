"""What it refuses; the pictures themselves are taken in `tests/journeys/test_pictures.py`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.core.management import CommandError, call_command

from program.management.commands.demo import SHOWN_CASE
from tests.factories import make_case, make_program

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.django_db


def test_without_a_demonstration_there_is_nothing_to_show(tmp_path: Path) -> None:
    with pytest.raises(CommandError) as caught:
        call_command("pictures", folder=tmp_path / "pictures")
    assert str(caught.value) == "There is no demonstration here. Start manage.py demo first."
    assert list(tmp_path.iterdir()) == []


def test_without_an_open_sheet_it_says_to_start_anew(tmp_path: Path) -> None:
    program = make_program(is_demo=True)
    make_case(program=program, number=SHOWN_CASE)
    with pytest.raises(CommandError) as caught:
        call_command("pictures", folder=tmp_path / "pictures")
    assert str(caught.value) == (
        "No full sheet is open in this demonstration. Start it anew: --reset."
    )
