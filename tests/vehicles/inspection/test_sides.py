"""Left against right, inner against outer: differences, and what they ask for."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass, Override
from vehicles.inspection.sides import TABLE, Across, Pair, Rule, SideReading, compare, side_reading

if TYPE_CHECKING:
    from collections.abc import Mapping

    from vehicles.inspection.criteria import Criterion

CRITERIA = load().criteria
NUMBERS = st.fractions(0, 500, max_denominator=64)


def pairs(
    criterion: str,
    unit: str,
    typed: Mapping[str, str],
    *,
    awd: bool = False,
    criteria: Mapping[str, Criterion] = CRITERIA,
) -> list[Pair]:
    """Return the comparisons of what was typed at each place."""
    readings = [side_reading(criterion, at, text, unit) for at, text in typed.items()]
    return compare(readings, criteria, all_wheel_drive=awd)


@pytest.mark.parametrize(
    ("axle", "left", "right", "class_", "us_reject"),
    [
        # 49 CFR 570.5(d)(1), from memory: at most 25 % difference between left and right. Directive
        # 2014/45/EU Annex I, 1.2.1 (b), from memory: a wheel under 70 % of the best one is major,
        # under 50 % on a steered axle dangerous. Each at its limit and one step beyond.
        ("front", "1000", "750", DeficiencyClass.NONE, False),
        ("front", "1000", "749", DeficiencyClass.MAJOR, True),
        ("front", "700", "1000", DeficiencyClass.MAJOR, True),
        ("front", "699", "1000", DeficiencyClass.MAJOR, None),
        ("front", "1000", "500", DeficiencyClass.MAJOR, None),
        ("front", "1000", "499", DeficiencyClass.DANGEROUS, None),
        ("rear", "1000", "750", DeficiencyClass.NONE, False),
        ("rear", "1000", "701", DeficiencyClass.MAJOR, True),
        ("rear", "1000", "499", DeficiencyClass.MAJOR, None),
        ("rear", "0", "1000", DeficiencyClass.MAJOR, None),
    ],
)
def test_brake_forces_are_judged_by_the_catalogues_own_limits(
    axle: str, left: str, right: str, class_: DeficiencyClass, *, us_reject: bool | None
) -> None:
    ends = ("LF", "RF") if axle == "front" else ("LR", "RR")
    [pair] = pairs("brake-force", "N", dict(zip(ends, (left, right), strict=True)))
    assert (pair.deficiency, pair.asks) == (class_, class_ != DeficiencyClass.NONE)
    assert pair.judgment is not None
    if us_reject is not None:
        assert pair.judgment.us_reject == us_reject


def test_a_brake_imbalance_is_said_with_its_limit_and_source() -> None:
    [pair] = pairs("brake-force", "lbf", {"LF": "400", "RF": "260"})
    assert str(pair.label) == "Left and right, front axle"
    assert str(pair.sentence) == "35% difference between left and right, the limit is 30%."
    assert pair.source == CRITERIA["brake-balance-front"].reason("1.2.1 b").sources
    assert pair.text_seen == CRITERIA["brake-balance-front"].reason("1.2.1 b").sources_seen


def test_a_local_limit_judges_the_imbalance() -> None:
    override = Override(
        criterion="brake-balance-front",
        reason="US 570.5(d)(1)",
        value=Fraction(20),
        since=date(2026, 7, 1),
        because="The state asks for 20 percent.",
    )
    [pair] = pairs(
        "brake-force", "N", {"LF": "100", "RF": "79"}, criteria=load([override]).criteria
    )
    assert str(pair.sentence) == "21% difference between left and right, the limit is 20%."
    assert pair.asks


def test_two_dead_brakes_are_not_taken_for_even_ones() -> None:
    [pair] = pairs("brake-force", "N", {"LR": "0", "RR": "0"})
    assert (pair.asks, pair.difference) == (True, None)
    assert str(pair.sentence) == "Nothing at rear left and at rear right."


def test_newtons_beside_pounds_force_are_held_against_each_other() -> None:
    [pair] = pairs("brake-force", "N", {"LF": "1000.051713 N", "RF": "112.4053317 lbf"})
    assert pair.deficiency == DeficiencyClass.DANGEROUS


@pytest.mark.parametrize(
    ("criterion", "unit", "one", "other", "asks"),
    [
        # 12 mm (0.47 in): Chevrolet Equinox service manual, trim height, text seen.
        ("ride-height", "mm", "690", "702", False),
        ("ride-height", "mm", "690", "702.5", True),
        ("ride-height", "in", "27", "27 1/2", True),
        # The rest is common practice, no source: 3/32 in of tread, 10 % of pressure, 2 mm.
        ("tire-tread", "32nds", "5/32", "7/32", False),
        ("tire-tread", "32nds", "5", "8", True),
        ("tire-pressure", "percent", "0", "9", False),
        ("tire-pressure", "percent", "15", "5", True),
        ("brake-pads-riveted", "mm", "4", "5.9", False),
        ("brake-pads-riveted", "mm", "4", "6", True),
        ("brake-shoes", "32nds", "4", "6", False),  # 1.5875 mm
        ("brake-shoes", "32nds", "4", "7", True),
    ],
)
def test_left_and_right_ask_for_a_look_from_a_difference_on(
    criterion: str, unit: str, one: str, other: str, *, asks: bool
) -> None:
    [pair] = pairs(criterion, unit, {"LR": one, "RR": other})
    assert (pair.asks, pair.deficiency) == (asks, DeficiencyClass.NONE)
    assert (", ".join(pair.positions), pair.judgment) == ("LR, RR", None)


def test_a_caliper_is_looked_at_for_uneven_pads() -> None:
    # Even wear lies within 2 to 3 mm: a trade magazine, seen second-hand.
    found = pairs(
        "brake-pads", "32nds", {"LF-inner": "4", "LF-outer": "7", "RF-inner": "6", "RF-outer": "7"}
    )
    assert [(str(one.label), str(one.difference), one.asks) for one in found] == [
        ("Inner and outer pad, front left", "3/32 in", True),
        ("Inner and outer pad, front right", "1/32 in", False),
        ("Left and right, front axle", "2/32 in", False),
    ]
    assert str(found[0].sentence) == (
        "3/32 in between front left outer and front left inner: from 2 mm on, "
        "check the caliper's slides and piston."
    )
    assert str(found[2].sentence) == "2/32 in between front right inner and front left inner."


def test_tread_is_compared_across_the_tire() -> None:
    # From 2/32 in on: common practice, no source.
    typed = {"LF-inner": "4", "LF-middle": "7", "LF-outer": "8", "RF-inner": "7", "RF-outer": "8"}
    found = pairs("tire-tread-across", "32nds", typed)
    assert [(str(one.label), str(one.difference), one.asks) for one in found] == [
        ("Across the tire, front left", "4/32 in", True),
        ("Across the tire, front right", "1/32 in", False),
    ]
    assert str(found[0].sentence) == (
        "4/32 in between front left outer and front left inner: from 2/32 in on, "
        "check alignment and pressure."
    )


def test_all_four_tires_are_compared_only_with_all_wheel_drive() -> None:
    # 2/32 to 3/32 in, the maker's rule goes before: common practice, no source.
    typed = {"LF": "5", "RF": "6", "LR": "7", "RR": "6"}
    labels = [str(one.label) for one in pairs("tire-tread", "32nds", typed)]
    assert labels == ["Left and right, front axle", "Left and right, rear axle"]
    four = pairs("tire-tread", "32nds", typed, awd=True)[-1]
    assert (str(four.label), four.asks) == ("Tread of the four tires, all four wheels", True)
    front = {at: typed[at] for at in ("LF", "RF")}
    assert len(pairs("tire-tread", "32nds", front, awd=True)) == 1
    even = pairs("tire-tread", "32nds", typed | {"LF": "6"}, awd=True)[-1]
    assert (str(even.difference), even.asks) == ("1/32 in", False)


def test_the_catalogues_own_limit_speaks_where_it_catches_the_four_tires() -> None:
    # tire-awd-difference catches more than 3/32 in; at 3/32 in only the rule here asks.
    typed = {"LF": "5", "RF": "8", "LR": "8", "RR": "8"}
    three = pairs("tire-tread", "32nds", typed, awd=True)[-1]
    assert str(three.sentence) == (
        "3/32 in between rear right and front left: from 2/32 in on, "
        "ask the maker's rule for all-wheel drive, 2/32 to 3/32 in as a rule."
    )
    four = pairs("tire-tread", "32nds", typed | {"RR": "9"}, awd=True)[-1]
    assert four.judgment is not None
    assert four.judgment.reason == CRITERIA["tire-awd-difference"].reason("PP awd-difference")
    assert (four.sentence, four.source) == (four.judgment.sentence, four.judgment.source)


def test_two_units_are_said_in_the_unit_of_the_rule() -> None:
    [pair] = pairs("brake-pads", "mm", {"LF": "4/32 in", "RF": "5.175 mm"})
    assert (str(pair.difference), pair.asks) == ("2 mm", True)


def test_the_spare_and_a_lone_corner_are_left_out() -> None:
    assert pairs("tire-tread", "32nds", {"spare": "9", "LF": "5", "RR": "5"}) == []


def test_of_two_readings_at_one_place_the_later_counts() -> None:
    readings = [side_reading("ride-height", at, mm) for at, mm in (("LF", "1"), ("LF", "700"))]
    readings.append(side_reading("ride-height", "RF", "700"))
    [pair] = compare(readings, {}, all_wheel_drive=False)
    assert str(pair.sentence) == "0 mm between front right and front left."


def test_what_can_not_be_compared_is_refused_with_a_sentence() -> None:
    with pytest.raises(ValueError, match=r"^A number below zero can't be compared\.$"):
        side_reading("brake-pads", "LF", "-1")
    with pytest.raises(ValueError, match=r"^“stones” is not a unit this catalogue knows"):
        SideReading(criterion="brake-force", position="LF", number=Fraction(1), unit="stones")
    with pytest.raises(ValueError, match=r"^The readings of “brake-force” do not measure the same"):
        pairs("brake-force", "N", {"LF": "100 N", "RF": "90 %"})


@pytest.mark.parametrize("rule", TABLE, ids=lambda rule: f"{rule.criterion} {rule.across}")
def test_every_rule_names_its_source_and_can_be_reached(rule: Rule) -> None:
    assert rule.source != ""
    assert rule.ask.value > 0


@given(st.sampled_from(TABLE), NUMBERS, NUMBERS)
def test_a_difference_is_the_same_from_either_side(
    rule: Rule, one: Fraction, other: Fraction
) -> None:
    places = {Across.WHEEL: ("LF-inner", "LF-outer")}.get(rule.across, ("LF", "RF"))
    unit = "N" if rule.criterion == "brake-force" else rule.ask.unit
    results = []
    for ends in ((one, other), (other, one)):
        readings = [
            SideReading(criterion=rule.criterion, position=at, number=number, unit=unit)
            for at, number in zip(places, ends, strict=True)
        ]
        found = compare(readings, CRITERIA, all_wheel_drive=False)
        results.append([(pair.difference, pair.asks, pair.deficiency) for pair in found])
    assert results[0] == results[1]


@given(NUMBERS, NUMBERS, NUMBERS)
def test_a_weaker_brake_never_counts_as_more_even(
    strong: Fraction, weak: Fraction, weaker: Fraction
) -> None:
    low, middle, high = sorted((strong, weak, weaker))
    ranks = []
    for number in (middle, low):
        readings = [
            SideReading(criterion="brake-force", position=at, number=force, unit="N")
            for at, force in (("LF", high), ("RF", number))
        ]
        [pair] = compare(readings, CRITERIA, all_wheel_drive=False)
        ranks.append((pair.deficiency.rank, pair.asks))
    assert ranks[0] <= ranks[1]
