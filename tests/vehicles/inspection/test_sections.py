"""Criteria against the sections that their limits and classes come from, from both sides.

Marks beside the sources: seen = the text, or a copy or sibling of it, was read; memory = not read.
"""

from __future__ import annotations

import pytest

from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.judge import judge

CATALOGUE = load()
DANGEROUS, MAJOR, MINOR, NONE = DeficiencyClass

# criterion, kept, class there, crossed, class there, US reject there
BOUNDARIES = [
    # 49 CFR 570.9(a): not less than 2/32 in (memory); EU 5.2.3 (e) dangerous (seen).
    ("tire-tread", "2/32", NONE, "1.99", DANGEROUS, True),
    ("tire-tread", "1.5875 mm", NONE, "1.587 mm", DANGEROUS, True),
    # 49 CFR 570.5(g): bonded 1/16 in (memory; seen in 570.59(c)); EU 1.1.13 (a) at and past the
    # minimum mark (seen).
    ("brake-pads", "2.01", NONE, "2", MAJOR, False),
    ("brake-pads", "1/16", MAJOR, "1.99", DANGEROUS, True),
    ("brake-shoes", "2", MAJOR, "1.5", DANGEROUS, True),
    # 49 CFR 570.5(g): riveted 1/32 in above the fastener (memory; seen in 570.59(c)).
    ("brake-pads-riveted", "1", MAJOR, "0.99", DANGEROUS, True),
    # 49 CFR 570.5(f): the figure cast in the part (memory; seen in 570.59(b)).
    ("brake-rotor", "22.0 mm min 22 mm", NONE, "21.9 mm min 22 mm", MAJOR, True),
    ("brake-drum", "229 mm max 229 mm", NONE, "229.1 mm max 229 mm", MAJOR, True),
    # 49 CFR 570.5(c): 80 percent of travel at most (memory); 20 left in NAC 484D.100(2) (seen).
    ("brake-reserve", "20", NONE, "19.9", MAJOR, True),
    # 49 CFR 570.5(d)(1): 25 percent (memory).
    ("brake-balance-rear", "25", NONE, "25.1", MAJOR, True),
    # EU 1.2.1 (b): below 70 and, on a steered axle, below 50 percent of the better wheel (memory).
    ("brake-balance-front", "50", MAJOR, "50.1", DANGEROUS, True),
    # 49 CFR 570.5(d)(2): 25 ft from 20 mph (memory).
    ("brake-stop", "25", NONE, "25.5", MAJOR, True),
    # EU 1.4.2: 16 percent, dangerous below half of it (seen).
    ("parking-brake-grade", "16", NONE, "15.9", MAJOR, False),
    ("parking-brake-grade", "8", MAJOR, "7.9", DANGEROUS, False),
    # 49 CFR 570.7(a) Table 1 (seen): 2, 2 1/4, 2 1/2, 2 3/4 in for wheels of 16, 18, 20, 22 in.
    ("steering-lash-16", "2 in", NONE, "2 1/64 in", MAJOR, True),
    ("steering-lash-18", "2 1/4 in", NONE, "2 17/64 in", MAJOR, True),
    ("steering-lash-20", "2 1/2 in", NONE, "2.51", MAJOR, True),
    ("steering-lash-22", "2 3/4 in", NONE, "70 mm", MAJOR, True),
    # 49 CFR 570.7(b): 1/4 in at the tread, whatever the rim (seen).
    ("steering-linkage-play", "1/4", NONE, "0.251", MAJOR, True),
    # 49 CFR 570.7(d): one and a half times the maker's setting (seen); EU 2.4 (a) minor (seen).
    ("steering-toe", "150", NONE, "151", MINOR, True),
    # 49 CFR 570.8(b): two free cycles after a push (memory); no EU item says it.
    ("shock-bounce", "2", NONE, "3", MAJOR, True),
    # 49 CFR 570.10(b): 1/8 in, lateral and radial (seen).
    ("wheel-runout-lateral", "1/8", NONE, "9/64", MAJOR, True),
    ("wheel-runout-radial", "3.175 mm", NONE, "3.18 mm", MAJOR, True),
    # EU 5.3.4 (a) (seen), the maker's limit as the measure.
    ("ball-joint-play", "0.05 max 0.05", NONE, "0.051 max 0.05", MAJOR, False),
    # 49 CFR 571.108 and SAE J590: 60 to 120 flashes a minute (memory); EU 4.4.4 (a) (seen).
    ("turn-rate", "60", NONE, "59", MINOR, False),
    ("turn-rate", "120", NONE, "121", MINOR, False),
    # 49 CFR 393.60(c)(2) with guidance (seen) and (c)(3) (memory): 1/4 in wide, 3/4 in across.
    ("glass-crack", "1/4", NONE, "17/64", MAJOR, False),
    ("glass-chip", "3/4", NONE, "0.76", MAJOR, False),
    # 49 CFR 393.60(d) with guidance: 70 percent of light (seen).
    ("glass-tint", "70", NONE, "69", MAJOR, False),
    # 49 CFR 571.138 S4.2: the lamp lights at 25 percent below placard (memory).
    ("tire-pressure", "25", NONE, "26", MINOR, False),
    # Battery Council table as reprinted: 11.89 V is empty (seen); CZ 4.13.1 (seen).
    ("battery-voltage", "11.9", NONE, "11.89", MAJOR, False),
    # Service manuals of Kia and Hyundai: 9.6 V after 15 s at 20 degC (seen).
    ("battery-load", "9.6", NONE, "9.59", MAJOR, False),
]


@pytest.mark.parametrize(("code", "kept", "before", "crossed", "after", "reject"), BOUNDARIES)
def test_a_limit_holds_on_both_sides(
    code: str,
    kept: str,
    before: DeficiencyClass,
    crossed: str,
    after: DeficiencyClass,
    reject: bool,  # noqa: FBT001 - a row of the table
) -> None:
    assert judge(CATALOGUE[code], kept).deficiency == before
    beyond = judge(CATALOGUE[code], crossed)
    assert (beyond.deficiency, beyond.us_reject) == (after, reject)


# criterion, reason, class, severity, never released, US reject; hazard rule, worked cases, and
# the items of Directive 2014/45/EU as read in Czech decree 211/2018 unless another mark stands.
SEEN = [
    ("wheel-nuts", "5.2.1 a", MAJOR, 1, True, True),  # 49 CFR 570.10(c), seen
    ("fuel", "6.1.3 b", MAJOR, 1, True, False),
    ("fuel", "6.1.3 b.2", DANGEROUS, 1, True, False),
    ("stop-lamps", "4.3.1 a.2", MAJOR, 2, False, False),
    ("stop-lamps", "4.3.1 a.3", DANGEROUS, 2, False, False),
    ("ball-joints", "5.3.4 a", MAJOR, 1, False, False),
    ("ball-joints", "5.3.4 b", MINOR, 1, False, True),  # 49 CFR 570.8(a), memory
    ("brake-pipes", "1.1.11 c", MAJOR, 1, False, False),
    ("brake-pipes", "1.1.11 b.2", DANGEROUS, 1, True, False),
    ("brake-hoses", "1.1.12 c.2", DANGEROUS, 1, True, True),  # 49 CFR 570.5(e), memory
    ("brake-hoses", "1.1.12 d", MAJOR, 1, True, True),
    ("brake-hoses", "1.1.12 b", MINOR, 1, False, True),
    ("brake-pedal", "US 570.5(b)", MAJOR, 1, True, True),  # memory; NAC 484D.100(1) seen
    ("brake-pedal", "CZ 1.1.2.1.4", MAJOR, 1, True, False),
    ("washers", "3.5 a", MINOR, 3, False, False),
    ("tire-damage", "5.2.3 d.2", DANGEROUS, 1, False, True),  # memory; 49 CFR 570.9(d), memory
    ("tire-match", "5.2.3 b", MAJOR, 1, False, True),  # 49 CFR 570.9(b), memory
    ("wheel-condition", "5.2.2 a", DANGEROUS, 1, False, True),  # 49 CFR 570.10(a), memory
    ("springs", "5.3.1 b", MAJOR, 1, False, True),  # 49 CFR 570.8(a), memory
    ("exhaust-fumes", "6.1.2 b.2", DANGEROUS, 1, True, False),
    ("belts", "7.1.2 d", MAJOR, 2, True, False),
    ("steering-feel", "2.1.1 a", MAJOR, 1, False, True),  # 49 CFR 570.7(c), seen
    ("windshield", "3.2 c.2", DANGEROUS, 2, False, False),
    ("horn", "7.7 a.2", MAJOR, 3, False, False),
    ("seats", "6.2.5 a.2", DANGEROUS, 2, True, False),
]


@pytest.mark.parametrize(("code", "key", "deficiency", "severity", "held", "reject"), SEEN)
def test_what_was_seen_brings_its_class_and_marks(
    code: str,
    key: str,
    deficiency: DeficiencyClass,
    severity: int,
    held: bool,  # noqa: FBT001 - a row of the table
    reject: bool,  # noqa: FBT001 - a row of the table
) -> None:
    found = judge(CATALOGUE[code], key)
    assert (found.deficiency, found.severity) == (deficiency, severity)
    assert (found.never_release, found.us_reject) == (held, reject)
