"""The shipped catalogue is whole, damaged files are refused, local limits keep the original."""

from __future__ import annotations

import shutil
from collections import Counter
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from vehicles.inspection.catalogue import FOLDER, cautions, load, refuse_override
from vehicles.inspection.criteria import DeficiencyClass, Group, Limit, Override
from vehicles.inspection.judge import judge
from vehicles.inspection.units import UNITS
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from pathlib import Path

CATALOGUE = load()
REASONS = [(one, reason) for one in CATALOGUE.criteria.values() for reason in one.reasons]


def make_override(**fields: object) -> Override:
    plain: dict[str, object] = {
        "criterion": "tire-tread",
        "reason": "5.2.3 e.2",
        "value": Fraction(3),
        "since": date(2026, 7, 1),
        "because": "The state asks for 3/32 in.",
    }
    return Override(**(plain | fields))  # type: ignore[arg-type]


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


def test_the_catalogue_covers_what_an_inspection_has_to() -> None:
    asked = {
        System.BRAKES,
        System.TIRES,
        System.WHEELS,
        System.STEERING,
        System.SUSPENSION,
        System.LIGHTS,
        System.GLASS,
        System.RESTRAINT,
        System.FUEL,
        System.EXHAUST,
        System.BATTERY,
        System.CHARGING,
    }
    assert asked - {one.system for one in CATALOGUE.criteria.values()} == set()
    assert len(CATALOGUE.criteria) >= 120
    assert len(REASONS) >= 300
    assert {one.group for one in CATALOGUE.criteria.values()} == set(Group)


def test_the_version_is_the_one_of_the_files() -> None:
    assert CATALOGUE.version == (FOLDER / "criteria.version").read_text(encoding="utf-8").strip()


def test_the_files_are_read_once() -> None:
    assert load() is load()


def test_every_criterion_says_how_it_is_read_and_where_it_comes_from() -> None:
    bare = [one.code for one in CATALOGUE.criteria.values() if not (one.method and one.source)]
    assert bare == []
    unsourced = [(one.code, reason.key) for one, reason in REASONS if not reason.sources]
    assert unsourced == []


def test_a_key_has_one_class_wherever_it_stands() -> None:
    classes = Counter(key for key, _ in {(reason.key, reason.deficiency) for _, reason in REASONS})
    assert [key for key, count in classes.items() if count > 1] == []


def test_a_us_reject_names_its_section_and_no_other_reason_does() -> None:
    wrong = [
        key for _, one in REASONS if one.us_reject != bool(one.us_section) for key in [one.key]
    ]
    assert wrong == []


def test_a_limit_is_stated_in_a_known_unit() -> None:
    measured = [one for one in CATALOGUE.criteria.values() if one.is_measured]
    assert {one.unit for one in measured} - set(UNITS) == set()
    assert len(measured) >= 25


# Hazard rule of the program, section "the rule": what is never handed back open. Program policy.
NEVER_RELEASED = [
    ("brake-hoses", "1.1.12 c.2"),  # brake fluid leaks
    ("brake-pipes", "1.1.11 b.2"),
    ("brake-cylinders", "1.1.16 b"),
    ("brake-master", "1.1.10 b.2"),
    ("fuel", "6.1.3 b"),  # fuel leaks
    ("brake-hoses", "1.1.12 d"),  # a hose that bulges
    ("brake-hoses", "1.1.12 b.2"),  # or is chafed through
    ("brake-pedal", "US 570.5(b)"),  # a pedal that sinks
    ("brake-pedal", "CZ 1.1.2.1.4"),  # or must be pumped
    ("brake-rotor-condition", "CZ 1.1.14.5.1"),  # fastenings: caliper,
    ("wheel-nuts", "5.2.1 a"),  # wheel,
    ("steering-gear", "2.1.2 c"),  # steering
    ("ball-joint-play", "5.3.4 a"),  # a joint past its limit
    ("steering-linkage-play", "2.1.3 b"),
    ("exhaust-fumes", "6.1.2 b"),  # fumes in the cabin
    ("belts", "7.1.2 b"),  # belt, buckle, seat, airbag
    ("belts", "7.1.2 d"),
    ("seats", "6.2.5 b"),
    ("airbags", "7.1.6 a"),
    ("brake-lamp", "1.1.10 f"),  # red lamps
    ("engine-lamps", "PP oil-lamp-red"),
    ("engine-lamps", "PP temperature-lamp-red"),
]


@pytest.mark.parametrize(("code", "key"), NEVER_RELEASED)
def test_what_the_rule_never_releases_is_marked(code: str, key: str) -> None:
    assert CATALOGUE[code].reason(key).never_release


def test_every_leak_of_fuel_or_brake_fluid_is_marked() -> None:
    leaks = [
        (one.code, reason.key)
        for one, reason in REASONS
        if one.system in {System.BRAKES, System.FUEL} and "leak" in reason.text.lower()
        if not (reason.never_release or "no leak" in reason.text or "Vacuum" in reason.text)
    ]
    assert leaks == []


def test_an_unknown_criterion_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match=r"^“flux” is not a criterion of the catalogue\.$"):
        CATALOGUE["flux"]


def test_a_local_limit_moves_the_limit_and_keeps_the_original_in_sight() -> None:
    changed = load([make_override()])["tire-tread"]
    assert changed.limits == (Limit("<", Fraction(3), "5.2.3 e.2"),)
    assert changed.shipped_limits == CATALOGUE["tire-tread"].limits
    assert changed.overrides == (make_override(),)
    assert judge(changed, "5/64").deficiency == DeficiencyClass.DANGEROUS


def test_a_local_limit_leaves_the_shipped_catalogue_as_it_is() -> None:
    load([make_override()])
    assert load()["tire-tread"].limits == (Limit("<", Fraction(2), "5.2.3 e.2"),)


def test_the_later_of_two_local_limits_counts_and_both_stay_in_sight() -> None:
    later = make_override(since=date(2026, 9, 1), value=Fraction(4))
    changed = load([later, make_override()])["tire-tread"]
    assert changed.limits[0].value == 4
    assert changed.overrides == (make_override(), later)
    assert changed.shipped_limits[0].value == 2


def test_a_local_limit_counts_from_its_day() -> None:
    assert load([make_override()], on=date(2026, 6, 30))["tire-tread"].limits[0].value == 2
    assert load([make_override()], on=date(2026, 7, 1))["tire-tread"].limits[0].value == 3


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"criterion": "flux"}, "“flux” is not a criterion of the catalogue."),
        ({"reason": "9 z"}, "“Tread depth” has no limit for “9 z”."),
        ({"because": " "}, "A local limit for “Tread depth” needs its reason."),
        (
            {"value": Fraction(25)},
            "A limit of “Tread depth” lies outside its plausible range.",
        ),
        (
            {"criterion": "brake-pads", "reason": "1.1.13 a", "value": Fraction(1)},
            "The limits of “Brake pads” are out of order.",
        ),
    ],
)
def test_a_local_limit_that_makes_no_sense_is_refused(
    fields: dict[str, object], message: str
) -> None:
    with pytest.raises(ValueError, match=r".") as caught:
        load([make_override(**fields)])
    assert str(caught.value) == message


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
            "criteria.csv, row 3: “tire-tread” stands there twice.",
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
            "cautions.csv",
            "\nlifting-stands,",
            "\nlifting-jack,",
            "cautions.csv, row 3: “lifting-jack” stands there twice.",
        ),
        (
            "cautions.csv",
            "\ntires,",
            "\ntyres,",
            "criteria.csv, row 6: 'tires' is missing or not one of the words used there.",
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


def test_every_caution_names_its_authority() -> None:
    found = cautions()
    assert len(found) == 25
    assert [one.code for one in found.values() if not (one.text and one.authority)] == []
    # 29 CFR 1910.1001(f)(3) and Appendix F on brake dust; text seen.
    assert (found["brake-dust"].text_seen, found["fuel"].text_seen) == (True, False)


HAZARDS = [
    ("brake-pads", "brake-dust"),
    ("brake-pads", "lifting-stands"),
    ("wheel-nuts", "wheels-off"),
    ("fuel", "fuel"),
    ("exhaust", "engine-running"),
    ("coolant", "hot-fluids"),
    ("airbags", "airbag"),
    ("hv-system", "hybrid-hv"),
    ("battery-load", "battery"),
    ("brake-stop", "road-test"),
    ("drive-belt", "rotating-parts"),
    ("tire-pressure", "tires"),
]


@pytest.mark.parametrize(("code", "caution"), HAZARDS)
def test_a_hazardous_point_says_what_to_mind(code: str, caution: str) -> None:
    criterion = CATALOGUE[code]
    assert cautions()[caution] in criterion.cautions
    assert cautions()[caution].text in criterion.caution


def test_what_is_peculiar_to_a_point_is_said_before_the_cautions() -> None:
    fumes = CATALOGUE["exhaust-fumes"]
    assert fumes.caution.startswith("Never sit in a closed car to try this. Exhaust hose to the")


def test_nobody_looks_under_a_car_without_the_word_on_stands() -> None:
    bare = [
        one
        for one in CATALOGUE.criteria.values()
        if one.group == Group.LOOK_UNDER and one.fitted_us and not one.cautions
    ]
    # On a tester the car stands on its wheels, and the gauge for toe lies on the floor.
    assert {one.equipment for one in bare} == {"brake tester", "suspension tester", "toe gauge"}


TODAY = date(2026, 11, 25)


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"value": Fraction(2)}, "2/32 in already is the limit of “Tread depth”."),
        (
            {"value": Fraction(1)},
            (
                "1/32 in is looser than the shipped 2/32 in. "
                "Name the section of the law that allows it."
            ),
        ),
        (
            {"since": date(2226, 7, 1)},
            "A local limit starts at most 366 days ahead, not on 2226-07-01.",
        ),
        ({"criterion": "flux"}, "“flux” is not a criterion of the catalogue."),
        ({"reason": "9 z"}, "“Tread depth” has no limit for “9 z”."),
        ({"because": ""}, "A local limit for “Tread depth” needs its reason."),
        ({"value": Fraction(-1)}, "A limit of “Tread depth” lies outside its plausible range."),
        (
            {"criterion": "turn-rate", "reason": "4.4.4 a", "value": Fraction(70)},
            "“Turn signal rate” has two limits for “4.4.4 a”; both stay.",
        ),
        (
            {"criterion": "brake-fluid", "reason": "1.8 a"},
            "“Brake fluid” has no limit for “1.8 a”.",
        ),
    ],
)
def test_a_local_limit_is_refused_where_it_is_entered(
    fields: dict[str, object], message: str
) -> None:
    with pytest.raises(ValueError, match=r".") as caught:
        refuse_override(make_override(**fields), today=TODAY)
    assert str(caught.value) == message


def test_a_looser_limit_is_taken_with_the_law_that_allows_it() -> None:
    # 49 CFR 570.5(d)(2) has 25 ft; rules of Ohio and New Jersey were read to say 30 ft.
    ohio = make_override(
        criterion="brake-stop",
        reason="US 570.5(d)(2)",
        value=Fraction(30),
        source="Ohio rule on stopping from 20 mph",
    )
    refuse_override(ohio, today=TODAY)
    assert judge(load([ohio])["brake-stop"], "29").deficiency == DeficiencyClass.NONE


def test_a_local_limit_may_go_back_to_the_shipped_one() -> None:
    back = make_override(value=Fraction(2), since=date(2026, 12, 1))
    refuse_override(back, today=TODAY, others=[make_override()])
    again = make_override(since=date(2026, 12, 1))
    with pytest.raises(ValueError, match=r"^3/32 in already is the limit of “Tread depth”\.$"):
        refuse_override(again, today=TODAY, others=[make_override()])


def test_an_old_local_limit_never_keeps_a_new_catalogue_from_loading() -> None:
    same = make_override(value=Fraction(2))
    assert load([same])["tire-tread"].limits == CATALOGUE["tire-tread"].limits
