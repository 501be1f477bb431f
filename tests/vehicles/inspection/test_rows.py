"""A damaged sheet of the catalogue is refused with the place of the mistake."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from vehicles.inspection.catalogue import FOLDER, load

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the shipped files, to be damaged."""
    return shutil.copytree(FOLDER, tmp_path / "catalogue")


def damage(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def refusal(folder: Path) -> str:
    with pytest.raises(ValueError, match=r".") as caught:
        load(folder=folder)
    return str(caught.value)


@pytest.mark.parametrize(
    ("sheet", "old", "new", "message"),
    [
        (
            "criteria.csv",
            "< 2 -> 5.2.3 e.2",
            "2 -> 5.2.3 e.2",
            "criteria.csv, row 2: “2 -> 5.2.3 e.2” is not a limit. Write it as “< 2 -> 5.2.3 e.2”.",
        ),
        (
            "criteria.csv",
            "tire-tread,tires",
            "tire-tread,tyres",
            "criteria.csv, row 2: 'tyres' is not a valid System",
        ),
        (
            "criteria.csv",
            ",32nds,0,24",
            ",32nd,0,24",
            "criteria.csv, row 2: “32nd” is not a unit this catalogue knows.",
        ),
        (
            "criteria.csv",
            "\ntire-wear,",
            "\ntire-tread,",
            "criteria.csv, row 5: “tire-tread” stands there twice.",
        ),
        (
            "reasons.csv",
            "dangerous,1,no",
            "dangerous,9,no",
            "criteria.csv, row 2: A severity of “Tread depth” is not 1 to 4.",
        ),
        (
            "reasons.csv",
            "\ntire-tread,",
            "\ntire-trad,",
            "criteria.csv, row 2: “Tread depth” needs reasons, each with its own key.",
        ),
        (
            "reasons.csv",
            "1,no,no,no,yes",
            "1,perhaps,no,no,yes",
            "reasons.csv, row 2: 'perhaps' is missing or not one of the words used there.",
        ),
        (
            "reasons.csv",
            "tire-tread,5.2.3 e.2",
            "tire-tread,5.2.3 e.3",
            ("criteria.csv, row 2: The limits of “Tread depth” do not name each of its reasons."),
        ),
    ],
)
def test_a_damaged_file_is_refused_with_the_place(
    folder: Path, sheet: str, old: str, new: str, message: str
) -> None:
    damage(folder / sheet, old, new)
    assert refusal(folder) == message


@pytest.mark.parametrize(
    ("sheet", "old", "new", "message"),
    [
        (
            "criteria.csv",
            ",look full final,",
            ",look final,",
            "criteria.csv, row 2: “Tread depth” is read in look, full, final, at least in full.",
        ),
        (
            "criteria.csv",
            ",look full final,",
            ",glance full,",
            "criteria.csv, row 2: “Tread depth” is read in look, full, final, at least in full.",
        ),
        (
            "criteria.csv",
            ",windshield,",
            ",windscreen,",
            "criteria.csv: “Windshield chip” can't be settled by “windscreen”.",
        ),
        (
            "criteria.csv",
            "look full final,,,",
            "look full final,,tire-tred,",
            "criteria.csv: “Tread depth” is no detail of “tire-tred”.",
        ),
        (
            "reasons.csv",
            "tire-tread-across,5.2.3 e.2,Tread is below",
            "tire-tread-across,5.2.3 e.2,Tread lies below",
            "criteria.csv: “Tread across the tire” is no detail of “tire-tread”.",
        ),
        (
            "cautions.csv",
            "\nlifting-stands,",
            "\nlifting-jack,",
            "cautions.csv, row 3: “lifting-jack” stands there twice.",
        ),
        (
            "cautions.csv",
            "\ntires,",
            "\ntyres,",
            "criteria.csv, row 8: 'tires' is missing or not one of the words used there.",
        ),
    ],
)
def test_a_sheet_that_names_what_there_is_not_is_refused(
    folder: Path, sheet: str, old: str, new: str, message: str
) -> None:
    damage(folder / sheet, old, new)
    assert refusal(folder) == message


def test_a_reason_without_a_criterion_is_refused(folder: Path) -> None:
    with (folder / "reasons.csv").open("a", encoding="utf-8") as sheet:
        sheet.write("flux,1 a,Text,minor,4,no,no,no,no,,,Somewhere,from-memory\n")
    assert refusal(folder) == "reasons.csv: no criterion has the code “flux”."


def test_a_missing_file_is_refused_by_name(folder: Path) -> None:
    (folder / "reasons.csv").unlink()
    assert refusal(folder).startswith("reasons.csv can't be read: ")


def test_a_missing_column_is_refused(folder: Path) -> None:
    damage(folder / "criteria.csv", "code,system", "code,part")
    assert refusal(folder) == (
        "criteria.csv, row 2: 'system' is missing or not one of the words used there."
    )
