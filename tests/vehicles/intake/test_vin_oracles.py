"""Numbers made by chance, answered by this project and by two independent libraries."""

from __future__ import annotations

import random
import re
import sqlite3
from contextlib import closing, suppress
from functools import cache
from importlib.resources import files
from typing import Any

import pytest
import time_machine

from vehicles.intake.decoding import decode
from vehicles.intake.vin import check_digit, is_valid, maker_name, model_year, model_years, region

ALPHABET = "ABCDEFGHJKLMNPRSTUVWXYZ0123456789"
LETTERS = ALPHABET[:-10]
YEAR_CODES = "ABCDEFGHJKLMNPRSTVWXY123456789"  # 49 CFR 565.15, table of model years; text seen
MAKES = ("Chevrolet", "Ford", "Hyundai", "Kia", "Mazda", "Nissan", "Subaru", "Toyota", "Volkswagen")
TOKEN = re.compile(r"\[[^\]]*\]|.")
PATTERNS = """
    select distinct pattern.wmi, pattern.vds, pattern.from_year, pattern.to_year
    from pattern
    join wmi on wmi.code = pattern.wmi
    join make on make.id = wmi.make_id
    where make.name = ? and wmi.vehicle_type_id in (2, 3, 7)
        and pattern.to_year >= 1990 and pattern.from_year <= 2023
    order by 1, 2, 3, 4
"""


def with_check_digit(vin: str) -> str:
    return vin[:8] + check_digit(vin) + vin[9:]


@cache
def by_chance(seed: int, count: int) -> tuple[str, ...]:
    """Return numbers of the right shape, of which about half have a true check digit."""
    chance = random.Random(seed)
    numbers = []
    for _ in range(count):
        head = "".join(chance.choices(ALPHABET, k=9))
        vin = head + chance.choice(YEAR_CODES) + "".join(chance.choices(ALPHABET, k=7))
        numbers.append(with_check_digit(vin) if chance.random() < 0.5 else vin)
    return tuple(numbers)


def other(vin: str) -> Any:
    vininfo = pytest.importorskip("vininfo", reason="vininfo, an oracle, is not installed")
    return vininfo.Vin(vin)


def test_ten_thousand_check_digits_are_those_of_vininfo() -> None:
    answers = [(vin, is_valid(vin), other(vin)) for vin in by_chance(1, 10_000)]
    # It refuses to check numbers of makers that use no check digit.
    judged = [
        (vin, ours, theirs.verify_checksum(check_year=False))
        for vin, ours, theirs in answers
        if getattr(theirs.assembler, "uses_sae_checkdigit", True)
    ]
    assert len(judged) > 9_900
    assert [vin for vin, ours, theirs in judged if ours != theirs] == []
    assert 4_900 < sum(ours for _, ours, _ in judged) < 6_000


def test_ten_thousand_pairs_of_years_are_those_of_vininfo() -> None:
    with time_machine.travel("2026-11-25", tick=False):
        theirs = {vin: other(vin) for vin in by_chance(2, 10_000)}
        usual = {v: t for v, t in theirs.items() if not getattr(t.assembler, "year_position", 0)}
        # It leaves out years that have not come.
        wrong = [
            vin
            for vin, found in usual.items()
            if sorted(found.years) != [year for year in model_years(vin) if year <= 2027]
        ]
    assert len(usual) > 9_900
    assert wrong == []


@cache
def of_the_table(make: str, count: int) -> tuple[str, ...]:
    """Return numbers that fit patterns of the library's own table, the open places by chance."""
    pytest.importorskip("vin", reason="vin, an oracle, is not installed")
    place = files("vin").joinpath("vehicle.db")
    with closing(sqlite3.connect(f"file:{place}?immutable=1", uri=True)) as table:
        rows = table.execute(PATTERNS, (make,)).fetchall()
    chance = random.Random(make)
    numbers: list[str] = []
    while len(numbers) < count:
        wmi, key, first, last = chance.choice(rows)
        year = chance.randint(max(first, 1990), min(last, 2023))
        numbers += filled(wmi, key, year, chance)
    return tuple(numbers)


def filled(wmi: str, key: str, year: int, chance: random.Random) -> list[str]:
    """Return a number for one pattern, or none where it can't be one of that year.

    49 CFR 565.15(b): position 7 of a light vehicle is a digit before 2010, and then a letter.
    """
    attributes, _, rest = key.partition("|")
    tokens = [*TOKEN.findall(attributes), *"....."][:5]
    places = [[sign for sign in ALPHABET if re.fullmatch(token, sign)] for token in tokens]
    places[3] = [sign for sign in places[3] if sign.isdigit() == (year < 2010)]
    code = YEAR_CODES[(year - 1980) % 30]
    ends = [*TOKEN.findall(rest), "."][1:2] if rest else ["."]
    plants = [sign for sign in ALPHABET if re.fullmatch(ends[0], sign)]
    if len(wmi) != 3 or not all(places) or not plants:
        return []
    middle = "".join(map(chance.choice, places))
    serial = f"{chance.randrange(1_000_000):06}"
    return [with_check_digit(f"{wmi}{middle}0{code}{chance.choice(plants)}{serial}")]


def every_number() -> list[str]:
    return [vin for make in MAKES for vin in of_the_table(make, 1112)]


@cache
def answers() -> dict[str, Any]:
    """Return what the library `vin` says of each number that it can place: over 10,000."""
    oracle = pytest.importorskip("vin", reason="vin, an oracle, is not installed")
    found = {}
    for vin in every_number():
        with suppress(oracle.DecodingError):
            found[vin] = oracle.VIN(vin)
    return found


@pytest.mark.slow
def test_ten_thousand_model_years_are_those_of_the_library_vin() -> None:
    wrong = [vin for vin, car in answers().items() if model_year(vin, 2026) != car.model_year]
    assert len(answers()) > 9_950
    assert wrong == []


def test_the_maker_named_by_the_identifier_is_the_one_of_the_library_vin() -> None:
    database = pytest.importorskip("vin.database", reason="vin, an oracle, is not installed")
    codes = {vin[:3] for vin in every_number() if maker_name(vin)}
    # It names no make where a plant builds cars of several.
    theirs = {code: database.vehicle_db.get_make_from_wmi(code) for code in sorted(codes)}
    single = {code: make for code, make in theirs.items() if make}
    assert len(single) > 50
    assert {code: maker_name(code) for code in single} == single


@pytest.mark.slow
def test_make_year_and_model_suggested_are_those_of_the_library_vin() -> None:
    pytest.importorskip("ultravin", reason="ultravin, the optional table, is not installed")
    pairs = [(vin, decode(vin, 2026), car) for vin, car in answers().items()]
    known = [(vin, ours, theirs) for vin, ours, theirs in pairs if ours is not None]
    dated = [(vin, ours.year, theirs.model_year) for vin, ours, theirs in known if ours.year]
    assert min(len(known), len(dated)) > 9_600
    assert [vin for vin, ours, theirs in dated if ours != theirs] == []
    # The library's older data calls the cars of one plant, KNM, by a sister make.
    made = [(vin, ours.make.lower(), theirs.make.lower()) for vin, ours, theirs in known]
    assert {vin[:3] for vin, ours, theirs in made if ours != theirs} == {"KNM"}
    models = [(word(ours.model), word(theirs.model)) for _, ours, theirs in known if ours.model]
    both = [ours == theirs for ours, theirs in models if theirs]
    assert len(both) > 8_000
    assert sum(both) / len(both) > 0.99


def word(model: str | None) -> str:
    """Return the first word: the two tables part model and series at different places."""
    return (model or "").lower().replace("4-runner", "4runner").partition(" ")[0]


def test_the_region_is_that_of_vininfo_save_for_two_that_it_leaves_open() -> None:
    # D is Africa in part, H was added to China's share; it has neither.
    theirs = {sign: other(f"{sign}{'A' * 16}").region or "" for sign in ALPHABET}
    different = {sign: region(sign) for sign in ALPHABET if theirs[sign] != region(sign)}
    assert different == {"D": "Africa", "H": "Asia"}
