"""The shipped catalogue is whole, and each point says what to mind."""

from __future__ import annotations

from collections import Counter

import pytest

from vehicles.inspection.catalogue import FOLDER, cautions, load
from vehicles.inspection.criteria import Group
from vehicles.inspection.units import UNITS
from vehicles.shop.systems import System

CATALOGUE = load()
REASONS = [(one, reason) for one in CATALOGUE.criteria.values() for reason in one.reasons]


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
