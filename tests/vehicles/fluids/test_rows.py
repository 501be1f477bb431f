"""The sheet of fluids is whole, and one that is not says what is wrong.

Amounts between the marks: general maintenance guides, text-seen; the rest is common practice, no
source.
"""

from __future__ import annotations

import shutil
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from vehicles.fluids.levels import Level, Look
from vehicles.fluids.rows import Refill, load
from vehicles.inspection.catalogue import FOLDER
from vehicles.inspection.criteria import DeficiencyClass

if TYPE_CHECKING:
    from pathlib import Path

FLUIDS = load()


def test_each_fluid_is_filled_in_its_own_way() -> None:
    assert {code: one.refill.value for code, one in FLUIDS.items()} == {
        "engine-oil": "steps",
        "automatic": "steps",
        "manual": "steps",
        "final-drive": "steps",
        "power-steering": "steps",
        "brake": "never",
        "clutch": "never",
        "coolant": "never",
        "washer": "whole",
    }


def test_a_quart_lies_between_the_marks_for_oil_and_a_pint_for_a_transmission() -> None:
    assert (FLUIDS["engine-oil"].between, FLUIDS["engine-oil"].seen) == (Fraction(1), True)
    assert (FLUIDS["automatic"].between, FLUIDS["automatic"].seen) == (Fraction(1, 2), True)


def test_whatever_is_never_topped_up_has_a_finding_for_each_low_level() -> None:
    never = [one for one in FLUIDS.values() if one.refill is Refill.NEVER]
    assert all({Level.NONE.value, Level.LOW.value} <= set(one.findings) for one in never)


def test_states_that_keep_the_engine_off_are_levels_or_looks() -> None:
    known = {*(one.value for one in Level), *(one.value for one in Look)}
    assert {word for one in FLUIDS.values() for word in one.kept_off} <= known


def test_findings_of_the_brakes_carry_the_classes_of_the_catalogue() -> None:
    found = FLUIDS["brake"].findings
    assert (found["low"].reason, found["low"].deficiency, found["low"].severity) == (
        "1.1.10 d",
        DeficiencyClass.MINOR,
        1,
    )
    assert found["none"].deficiency is DeficiencyClass.DANGEROUS


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the shipped files, to be damaged."""
    return shutil.copytree(FOLDER, tmp_path / "catalogue")


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("engine heat,1,3,5", "engine heat,1,,5", "needs both amounts, and nothing else has them"),
        ("engine heat,1,3,5", "engine heat,4,3,5", "needs both amounts, and nothing else has them"),
        ("coolant: PP coolant-low", "cooler: PP low", "“cooler” is not a criterion"),
        ("hot-fluids used-oil,engine-oil", "hot-oil,engine-oil", "“hot-oil” is not a caution"),
        ("\nclutch,", "\nbrake,", "“brake” stands there twice"),
    ],
)
def test_a_damaged_sheet_of_fluids_says_what_is_wrong(
    folder: Path, old: str, new: str, sentence: str
) -> None:
    sheet = folder / "fluids.csv"
    text = sheet.read_text(encoding="utf-8")
    assert text.count(old) == 1
    sheet.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(ValueError, match=sentence):
        load(folder)
