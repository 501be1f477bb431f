"""Every reason of the compiled table of deficiency classes stands in the catalogue with its class.

The table (tests/data/deficiency_classes.csv) follows Annex I of Directive 2014/45/EU as corrected
in OJ L 219 of 22 August 2019, passenger cars. Its classes were read in texts that transpose the
Directive, above all Annex 1 of Czech decree 211/2018 (version of 1 July 2025); `seen_in` and
`source` name the text of each row, `mark` says text-seen or from-memory.
"""

from __future__ import annotations

import csv
from collections import Counter
from pathlib import Path

import pytest

from vehicles.inspection.catalogue import load

TABLE = Path(__file__).parents[2] / "data" / "deficiency_classes.csv"
with TABLE.open(encoding="utf-8", newline="") as sheet:
    ROWS = list(csv.DictReader(sheet))

CRITERIA = load().criteria.values()
REASONS = [(one, reason) for one in CRITERIA for reason in one.reasons]

# Items that only cars built for other markets have, with why. Each stays in the data.
NOT_FITTED = {
    "1.1.11 b": "air brakes",
    "1.1.12 c": "air brakes",
    "1.1.21 b": "air brakes",
    "1.1.21 b.2": "air brakes",
    "1.3.1": "a secondary brake is not tested by 49 CFR 570",
    "1.3.2": "a secondary brake is not tested by 49 CFR 570",
    "1.7": "electronic braking of heavy vehicles",
    "4.1.5": "headlamp leveling is not asked by 49 CFR 571.108 (from memory)",
    "4.1.6": "headlamp washers are not asked by 49 CFR 571.108 (from memory)",
    "5.2.2 b": "split rims of heavy vehicles",
    "5.2.2 b.2": "split rims of heavy vehicles",
    "6.1.3 d": "gas fuel, the work of a licensed gas shop",
    "6.1.3 f": "gas fuel, the work of a licensed gas shop",
    "7.4": "a warning triangle is not asked of cars (from memory)",
    "7.5": "a first aid kit is not asked of cars (from memory)",
    "7.13.1": "the European 112 system",
    "7.13.2": "the European 112 system",
    "7.13.3": "the European 112 system",
    "8.3": "no federal rule on cars in use (from memory)",
}


def test_the_table_is_whole() -> None:
    bases = Counter(row["basis"] for row in ROWS)
    assert bases == {"EU Annex I": 549, "CZ extension": 59, "FR extension": 1}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["key"])
def test_each_reason_has_its_class_and_mark(row: dict[str, str]) -> None:
    found = {
        (reason.deficiency.value, reason.text_seen)
        for _, reason in REASONS
        if reason.key == row["key"]
    }
    assert found == {(row["class"], row["mark"] == "text-seen")}


def test_the_catalogue_adds_no_letter_that_the_table_does_not_have() -> None:
    known = {row["key"] for row in ROWS}
    added = {reason.key for _, reason in REASONS if not reason.key.startswith(("US ", "PP "))}
    assert added - known == set()


def test_what_is_left_out_of_the_sheet_is_named_with_why() -> None:
    fitted = {reason.key for one, reason in REASONS if one.fitted_us}
    absent = {row["key"] for row in ROWS} - fitted
    unnamed = {key for key in absent if not {key, key.split()[0]} & NOT_FITTED.keys()}
    assert unnamed == set()
    items = absent | {key.split()[0] for key in absent}
    assert NOT_FITTED.keys() - items == set()
