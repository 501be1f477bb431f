from __future__ import annotations

import io
from typing import TYPE_CHECKING

import pytest
from django.core.management import CommandError, call_command

from program.importing.sheets import SHEETS
from shared.models import Program
from tests.program.importing.samples import folder, templates, with_cells
from vehicles.models import Vehicle

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.django_db


def said(*arguments: object, **options: object) -> str:
    out = io.StringIO()
    call_command("import", *map(str, arguments), stdout=out, **options)
    return out.getvalue()


def test_templates_are_written_and_can_be_imported(tmp_path: Path) -> None:
    assert f"{len(SHEETS)} templates are in" in said("--templates", tmp_path / "t")
    assert said(tmp_path / "t").endswith("34 rows were written.\n")
    assert (Program.objects.count(), Vehicle.objects.count()) == (1, 1)


def test_the_same_folder_again_says_that_nothing_changed(tmp_path: Path) -> None:
    path = folder(tmp_path / "t", templates())
    said(path)
    assert said(path).endswith("Nothing is new; nothing was changed.\n")


def test_a_check_writes_nothing(tmp_path: Path) -> None:
    path = folder(tmp_path / "t", templates())
    assert said(path, "--check").endswith("Nothing was written: this was a check.\n")
    assert Program.objects.count() == 0


def test_problems_are_listed_and_the_command_fails(tmp_path: Path) -> None:
    path = folder(tmp_path / "t", with_cells("pledges", quantity="0", used="perhaps"))
    out = io.StringIO()
    with pytest.raises(CommandError, match=r"^t: 2 problems\. Nothing was written\.$") as refusal:
        call_command("import", str(path), stdout=out)
    assert refusal.value.returncode == 1
    assert "pledges row 2" in out.getvalue()
    assert "“perhaps” is neither yes nor no." in out.getvalue()
    assert Program.objects.count() == 0


def test_rows_can_be_left_out(tmp_path: Path) -> None:
    path = folder(tmp_path / "t", with_cells("pledges", quantity="0"))
    assert "33 rows were written." in said(path, leave_out=["pledges:d1"])


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ((), "Name a folder or zip of sheets, or --templates and a folder."),
        (("nowhere",), "“nowhere” is not a folder."),
    ],
)
def test_what_can_not_be_imported_is_told(arguments: tuple[str, ...], sentence: str) -> None:
    with pytest.raises(CommandError) as refusal:
        said(*arguments)
    assert str(refusal.value) == sentence


def test_a_row_to_leave_out_without_a_name_is_told(tmp_path: Path) -> None:
    path = folder(tmp_path / "t", templates())
    with pytest.raises(CommandError, match=r"^“d1” names no row\."):
        said(path, leave_out=["d1"])
