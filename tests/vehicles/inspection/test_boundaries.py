"""Every number of the catalogue at its limit and one step to either side, in each of its units.

Each row names the section that the limit comes from and whether its text was seen. The classes
are those of the EU item where there is one; a US reject without one ranks as major.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.judge import judge
from vehicles.inspection.reading import units_offered
from vehicles.inspection.units import convert

CATALOGUE = load()
DANGEROUS, MAJOR, MINOR, NONE = DeficiencyClass
STEP = Fraction(1, 1000)  # the last place that a shop's gauge shows, in the unit typed

# Wheel runout, steering play and the like are caught above their limit, tread and the like below.
ABOVE, BELOW = 1, -1

# criterion, limit in its unit, wrong side, class within, class at, class beyond
LIMITS = [
    # 49 CFR 570.9(a): not less than 2/32 in (memory); EU 5.2.3 (e) dangerous (seen).
    ("tire-tread", "2", BELOW, NONE, NONE, DANGEROUS),
    ("tire-tread-across", "2", BELOW, NONE, NONE, DANGEROUS),
    # 49 CFR 571.138 S4.2: 25 percent below placard (memory); EU 5.2.3 (h) minor (seen).
    ("tire-pressure", "25", ABOVE, NONE, NONE, MINOR),
    # Advice of car and tire makers, 6 and 10 years (seen in a secondary text); no class.
    ("tire-age", "6", ABOVE, NONE, NONE, NONE),
    ("tire-age", "10", ABOVE, NONE, NONE, NONE),
    # Common practice, no source: 3/32 in between the tires of an all-wheel drive.
    ("tire-awd-difference", "3", ABOVE, NONE, NONE, NONE),
    # 49 CFR 570.10(b): 1/8 in (seen).
    ("wheel-runout-lateral", "1/8", ABOVE, NONE, NONE, MAJOR),
    ("wheel-runout-radial", "1/8", ABOVE, NONE, NONE, MAJOR),
    # 49 CFR 570.5(g): bonded 1/16 in, riveted 1/32 in (memory; seen in 570.59(c)); EU 1.1.13 (a),
    # at the mark major, past it dangerous (seen).
    ("brake-pads", "2", BELOW, NONE, MAJOR, DANGEROUS),
    ("brake-shoes", "2", BELOW, NONE, MAJOR, DANGEROUS),
    ("brake-pads-riveted", "1", BELOW, NONE, MAJOR, DANGEROUS),
    # Common practice, no source: 3 percent of water.
    ("brake-fluid-water", "3", ABOVE, NONE, NONE, NONE),
    # 49 CFR 570.5(c): 80 percent of travel (memory); 20 left in NAC 484D.100(2) (seen).
    ("brake-reserve", "20", BELOW, NONE, NONE, MAJOR),
    # 49 CFR 570.5(d)(1): 25 percent (memory). EU 1.2.1 (b): a wheel below 70, and on a steered axle
    # below 50 percent of the better one (memory).
    ("brake-balance-front", "25", ABOVE, NONE, NONE, MAJOR),
    ("brake-balance-front", "30", ABOVE, MAJOR, MAJOR, MAJOR),
    ("brake-balance-front", "50", ABOVE, MAJOR, MAJOR, DANGEROUS),
    ("brake-balance-rear", "25", ABOVE, NONE, NONE, MAJOR),
    ("brake-balance-rear", "30", ABOVE, MAJOR, MAJOR, MAJOR),
    # 49 CFR 570.5(d)(2): 25 ft from 20 mph (memory).
    ("brake-stop", "25", ABOVE, NONE, NONE, MAJOR),
    # EU 1.4.2: 16 percent of the weight (seen), dangerous below half of it.
    ("parking-brake-grade", "16", BELOW, NONE, NONE, MAJOR),
    ("parking-brake-grade", "8", BELOW, MAJOR, MAJOR, DANGEROUS),
    # EU 1.2.2: 58 percent for cars, dangerous below half (memory).
    ("brake-efficiency", "58", BELOW, NONE, NONE, MAJOR),
    ("brake-efficiency", "29", BELOW, MAJOR, MAJOR, DANGEROUS),
    # EU 1.3.1 (b) and 1.3.2: 70 and 50 percent; half of 58 and half of that (memory).
    ("secondary-brake-balance", "30", ABOVE, NONE, NONE, MAJOR),
    ("secondary-brake-balance", "50", ABOVE, MAJOR, MAJOR, DANGEROUS),
    ("secondary-brake-efficiency", "29", BELOW, NONE, NONE, MAJOR),
    ("secondary-brake-efficiency", "29/2", BELOW, MAJOR, MAJOR, DANGEROUS),
    # 49 CFR 570.7(a) Table 1 (seen); EU 2.3 (a), a fifth of the diameter (seen): the same class.
    ("steering-lash-16", "2", ABOVE, NONE, NONE, MAJOR),
    ("steering-lash-16", "16/5", ABOVE, MAJOR, MAJOR, MAJOR),
    ("steering-lash-18", "9/4", ABOVE, NONE, NONE, MAJOR),
    ("steering-lash-18", "18/5", ABOVE, MAJOR, MAJOR, MAJOR),
    ("steering-lash-20", "5/2", ABOVE, NONE, NONE, MAJOR),
    ("steering-lash-20", "4", ABOVE, MAJOR, MAJOR, MAJOR),
    ("steering-lash-22", "11/4", ABOVE, NONE, NONE, MAJOR),
    ("steering-lash-22", "22/5", ABOVE, MAJOR, MAJOR, MAJOR),
    # 49 CFR 570.7(b): 1/4 in at the tread (seen).
    ("steering-linkage-play", "1/4", ABOVE, NONE, NONE, MAJOR),
    # 49 CFR 570.7(d): one and a half times the setting (seen); EU 2.4 (a) minor (seen).
    ("steering-toe", "150", ABOVE, NONE, NONE, MINOR),
    # 49 CFR 570.8(b): two free cycles (memory).
    ("shock-bounce", "2", ABOVE, NONE, NONE, MAJOR),
    # 49 CFR 571.108 and SAE J590: 60 to 120 a minute (memory); EU 4.4.4 (a) minor (seen).
    ("turn-rate", "60", BELOW, NONE, NONE, MINOR),
    ("turn-rate", "120", ABOVE, NONE, NONE, MINOR),
    # 49 CFR 393.60(c): chip 3/4 in and 3 in apart (memory), crack 1/4 in (seen); EU 3.2 (a) (seen).
    ("glass-chip", "3/4", ABOVE, NONE, NONE, MAJOR),
    ("glass-chip-spacing", "3", BELOW, NONE, NONE, MAJOR),
    ("glass-crack", "1/4", ABOVE, NONE, NONE, MAJOR),
    # 49 CFR 393.60(d): 70 percent (seen); EU 3.2 (b) (seen).
    ("glass-tint", "70", BELOW, NONE, NONE, MAJOR),
    # State of charge, Battery Council International as reprinted (seen); CZ 4.13.1 major (seen).
    ("battery-voltage", "11.89", BELOW, NONE, MAJOR, MAJOR),
    ("battery-voltage", "12.24", BELOW, NONE, NONE, NONE),
    # Service manuals of Kia and Hyundai: 9.6 V at 20 °C (seen); CZ 4.13.1.
    ("battery-load", "9.6", BELOW, NONE, NONE, MAJOR),
    # Common practice, no source.
    ("cranking-voltage", "9.6", BELOW, NONE, NONE, NONE),
    # Service manuals of Mazda: 13 to 15 V (seen); no class.
    ("charging-voltage", "13", BELOW, NONE, NONE, NONE),
    ("charging-voltage", "15", ABOVE, NONE, NONE, NONE),
    # 40 CFR 85.2222(c)(2): two monitors to model year 2000, one after (number seen in a program).
    ("obd-monitors-96", "2", ABOVE, NONE, NONE, NONE),
    ("obd-monitors", "1", ABOVE, NONE, NONE, NONE),
]

# criterion, the maker's figure as typed, wrong side, class beyond
MARKED = [
    # 49 CFR 570.5(f): the figure cast in the part (memory; seen in 570.59(b)).
    ("brake-rotor", "22 mm", BELOW, MAJOR),
    ("brake-rotor", "0.875 in", BELOW, MAJOR),
    ("brake-drum", "229 mm", ABOVE, MAJOR),
    ("brake-drum", "9.06 in", ABOVE, MAJOR),
    # EU 5.3.4 (a) (seen), with the maker's limit as the measure.
    ("ball-joint-play", "0.05 in", ABOVE, MAJOR),
    ("ball-joint-play", "1.5 mm", ABOVE, MAJOR),
    # 49 CFR 571.116 S5.1.2 (seen): wet boiling points of DOT 3, 4 and 5.1, in both scales.
    ("brake-fluid-boiling", "140 degC", BELOW, NONE),
    ("brake-fluid-boiling", "284 degF", BELOW, NONE),
    ("brake-fluid-boiling", "155 degC", BELOW, NONE),
    ("brake-fluid-boiling", "311 degF", BELOW, NONE),
    ("brake-fluid-boiling", "180 degC", BELOW, NONE),
    ("brake-fluid-boiling", "356 degF", BELOW, NONE),
]

Row = tuple[str, str, int, DeficiencyClass, DeficiencyClass, DeficiencyClass]


def typed(number: Fraction, unit: str) -> str:
    """Return the number as typed: a fraction is exact, but in 32nds it would be one of an inch."""
    return f"{float(number)}" if unit == "32nds" else f"{number.numerator}/{number.denominator}"


def in_each_unit(row: Row) -> list[tuple[str, Fraction]]:
    """Return the limit in each unit that the point is read in, with the unit's code."""
    criterion = CATALOGUE[row[0]]
    codes = [unit.code for unit in units_offered(criterion)]
    codes += ["in"] if criterion.unit == "32nds" else []
    return [(code, convert(Fraction(row[1]), criterion.unit, code)) for code in codes]


@pytest.mark.parametrize("row", LIMITS, ids=lambda row: f"{row[0]} {row[1]}")
def test_a_number_is_judged_on_either_side_of_its_limit_and_at_it(row: Row) -> None:
    code, _, side, *wanted = row
    for unit, limit in in_each_unit(row):
        numbers = [limit - side * STEP, limit, limit + side * STEP]
        found = [judge(CATALOGUE[code], typed(number, unit), unit) for number in numbers]
        assert [one.deficiency for one in found] == wanted


@pytest.mark.parametrize("row", LIMITS, ids=lambda row: f"{row[0]} {row[1]}")
def test_another_reason_holds_beyond_the_limit_than_within(row: Row) -> None:
    code, number, side, *_ = row
    unit = CATALOGUE[code].unit
    within, beyond = (
        judge(CATALOGUE[code], typed(Fraction(number) + turn * STEP, unit), unit)
        for turn in (-side, side)
    )
    assert within.reason != beyond.reason
    assert beyond.reason is not None


@pytest.mark.parametrize(("code", "mark", "side", "beyond"), MARKED)
def test_a_number_is_judged_by_the_figure_of_the_maker(
    code: str, mark: str, side: int, beyond: DeficiencyClass
) -> None:
    number, unit = mark.split()
    word = CATALOGUE[code].marked_limit
    readings = [
        judge(CATALOGUE[code], f"{Fraction(number) + turn * STEP} {unit} {word} {mark}")
        for turn in (-side, 0, side)
    ]
    assert [one.reason is None for one in readings] == [True, True, False]
    assert [one.deficiency for one in readings] == [NONE, NONE, beyond]


def test_every_limit_of_the_catalogue_is_in_a_table() -> None:
    limits = {
        (one.code, limit.value)
        for one in CATALOGUE.criteria.values()
        for limit in one.limits
        if not one.marked_limit
    }
    assert limits == {(code, Fraction(number)) for code, number, *_ in LIMITS}
    marked = {one.code for one in CATALOGUE.criteria.values() if one.marked_limit}
    assert marked == {code for code, *_ in MARKED}


# Figures of other vehicles that are often taken for those of cars. Both were seen.
@pytest.mark.parametrize(
    ("code", "value"),
    [
        ("tire-tread", "3/32"),  # 49 CFR 570.62(a) asks 4/32 in of heavy vehicles' front tires
        ("steering-lash-18", "2.2 in"),  # Missouri, 11 CSR 50-2.200(1)(B), allows 2 in
    ],
)
def test_figures_for_other_vehicles_or_states_do_not_count(code: str, value: str) -> None:
    assert judge(CATALOGUE[code], value).deficiency == NONE


def test_the_larger_steps_of_heavy_vehicles_do_not_count() -> None:
    # 49 CFR 570.60(b) Table 3 (seen): 3/8 and 1/2 in, for vehicles over 10,000 lb only.
    assert judge(CATALOGUE["steering-linkage-play"], "3/8 in").deficiency == MAJOR
