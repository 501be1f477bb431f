"""A reading, the sentence it gets, and the refusal of nonsense."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import Criterion, DeficiencyClass, Override
from vehicles.inspection.judge import judge
from vehicles.inspection.units import show

CATALOGUE = load()
MEASURED = [one for one in CATALOGUE.criteria.values() if one.is_measured and not one.marked_limit]


def test_what_is_good_has_no_reason() -> None:
    found = judge(CATALOGUE["brake-hoses"], " Good ")
    assert (found.deficiency, found.reason, found.severity) == (DeficiencyClass.NONE, None, 4)
    assert str(found.sentence) == "Brake hoses: good."
    assert found.source == (
        "49 CFR 570.5(e); Directive 2014/45/EU Annex I, 1.1.12; Czech decree 211/2018 Annex 1"
    )


@pytest.mark.parametrize(
    ("code", "value", "strands"),
    [
        ("battery-start", "CZ 4.13.1", True),
        ("battery-voltage", "11.5", True),
        ("charging-voltage", "12.4", True),
        ("charging-voltage", "14.2", False),
        ("engine-lamps", "PP temperature-lamp-red", True),
        ("brake-pads", "1", False),
    ],
)
def test_what_immobilizes_the_car_is_marked(code: str, value: str, *, strands: bool) -> None:
    # Program policy; the battery is the hazard rule's worked case.
    assert judge(CATALOGUE[code], value).strands == strands


@pytest.mark.parametrize(
    ("code", "value", "sentence", "limit"),
    [
        ("tire-tread", "1/32", "1/32 in of tread, the limit is 2/32 in.", "2/32 in"),
        ("tire-tread", "7", "7/32 in of tread, the limit is 2/32 in.", "2/32 in"),
        (
            "tire-tread",
            "1.2 mm",
            "1.2 mm of tread, the limit is 2/32 in (1.588 mm).",
            "2/32 in",
        ),
        (
            "charging-voltage",
            "14.2",
            "14.2 V at 2000 rpm, the limits are 13 to 15 V.",
            "13 to 15 V",
        ),
        ("charging-voltage", "15.4", "15.4 V at 2000 rpm, the limit is 15 V.", "15 V"),
        ("turn-rate", "140", "140 a minute by count, the limit is 120 a minute.", "120 a minute"),
        (
            "brake-rotor",
            "22.4 min 23 mm",
            "22.4 mm thick, the maker's minimum is 23 mm.",
            "23 mm",
        ),
        (
            "steering-linkage-play",
            "3/8",
            "3/8 in of play at the tread, the limit is 1/4 in.",
            "1/4 in",
        ),
        ("brake-hoses", "1.1.12 d", "Hose bulges under pressure.", ""),
    ],
)
def test_the_sentence_gives_the_value_and_the_limit(
    code: str, value: str, sentence: str, limit: str
) -> None:
    found = judge(CATALOGUE[code], value)
    assert (str(found.sentence), found.limit) == (sentence, limit)


def test_the_number_is_compared_exactly_in_the_unit_of_the_limit() -> None:
    assert (
        judge(CATALOGUE["tire-tread"], "1.6", "mm").compared
        == Fraction("1.6") / Fraction("25.4") * 32
    )
    assert judge(CATALOGUE["tire-tread"], "3", "32nds").compared == 3
    assert judge(CATALOGUE["brake-rotor"], "23 min 22", "mm").compared == 1 / Fraction("25.4")


def test_a_judgment_names_both_sources_and_whether_they_were_read() -> None:
    worn = judge(CATALOGUE["tire-tread"], "1")
    assert worn.source == (
        "49 CFR 570.9(a); Directive 2014/45/EU Annex I, 5.2.3 (e), "
        "class read in Czech decree 211/2018"
    )
    assert not worn.text_seen  # the US paragraph is from memory
    assert judge(CATALOGUE["steering-linkage-play"], "1").text_seen


@pytest.mark.parametrize(
    ("code", "value", "unit", "message"),
    [
        ("tire-tread", "40", "", "Tread depth of 40/32 in is not possible. Type 0 to 24."),
        ("tire-tread", "40/32 in", "", "Tread depth of 40/32 in is not possible. Type 0 to 24."),
        ("tire-tread", "40", "mm", "Tread depth of 40 mm is not possible. Type 0 to 19.05."),
        ("tire-tread", "-1", "", "Tread depth of -1/32 in is not possible. Type 0 to 24."),
        (
            "tire-tread",
            "5",
            "psi",
            "Tread depth is read in 32nds of an inch or millimeters, not psi.",
        ),
        (
            "tire-tread",
            "5 psi",
            "32nds",
            "Tread depth is read in 32nds of an inch or millimeters, not psi.",
        ),
        (
            "charging-voltage",
            "14",
            "A",
            "Charging voltage is read in volts, not amperes.",
        ),
        (
            "tire-tread",
            "good",
            "",
            (
                "“good” is not a number. Tread depth takes 0 to 24, "
                "in 32nds of an inch or millimeters."
            ),
        ),
        (
            "tire-tread",
            "not read",
            "",
            (
                "“not read” is not a number. Tread depth takes 0 to 24, "
                "in 32nds of an inch or millimeters."
            ),
        ),
        (
            "tire-tread",
            "3",
            "furlongs",
            (
                "“furlongs” is not a unit this catalogue knows. Tread depth takes 0 to 24, "
                "in 32nds of an inch or millimeters."
            ),
        ),
        (
            "brake-fluid",
            "5",
            "",
            "“5” is not a reason of “Brake fluid”. Use “good” or one of: 1.8 a, 1.8 a.2.",
        ),
        (
            "brake-rotor",
            "22.4 mm",
            "",
            "Rotor thickness is typed with the maker's minimum: “22.4 mm min 23 mm”.",
        ),
        (
            "brake-rotor",
            "22.4 mm min",
            "",
            "Rotor thickness is typed with the maker's minimum: “22.4 mm min 23 mm”.",
        ),
        (
            "brake-rotor",
            "22.4 mm min 230 mm",
            "",
            "Rotor thickness of 230 mm is not possible. Type 3.81 to 50.8.",
        ),
        (
            "wheel-runout-lateral",
            "3 in",
            "",
            "Wheel runout, sideways of 3 in is not possible. Type 0 to 2.",
        ),
    ],
)
def test_nonsense_is_refused_with_what_to_type(
    code: str, value: str, unit: str, message: str
) -> None:
    with pytest.raises(ValueError, match=r".") as caught:
        judge(CATALOGUE[code], value, unit)
    assert str(caught.value) == message


def local(code: str, reason: str, value: str) -> Criterion:
    """Return a criterion under a local limit."""
    override = Override(
        criterion=code,
        reason=reason,
        value=Fraction(value),
        since=date(2026, 7, 1),
        because="The state asks for it.",
    )
    return load([override])[code]


def test_a_local_limit_judges_and_shows_the_shipped_one_beside_it() -> None:
    found = judge(local("tire-tread", "5.2.3 e.2", "3"), "2.5")
    assert str(found.sentence) == "2.5/32 in of tread, the limit is 3/32 in."
    assert (found.deficiency, found.limit) == (DeficiencyClass.DANGEROUS, "3/32 in")
    assert (found.shipped_limit, found.limit_because) == ("2/32 in", "The state asks for it.")


def test_a_good_number_shows_the_local_limit_too() -> None:
    found = judge(local("charging-voltage", "PP charging-low", "13.2"), "14")
    assert (found.limit, found.shipped_limit) == ("13.2 to 15 V", "13 to 15 V")


def test_a_limit_that_did_not_judge_is_not_shown() -> None:
    brakes = local("brake-balance-front", "1.2.1 b.2", "45")
    assert judge(brakes, "46").shipped_limit == "50%"
    assert (judge(brakes, "44").shipped_limit, judge(brakes, "44").limit_because) == ("", "")
    assert judge(CATALOGUE["tire-tread"], "1").shipped_limit == ""


def test_the_class_of_the_eu_item_is_read_beside_the_one_that_ranks() -> None:
    bounce = judge(CATALOGUE["shock-bounce"], "3")
    assert (bounce.eu_class, bounce.deficiency) == (DeficiencyClass.NONE, DeficiencyClass.MAJOR)
    assert judge(CATALOGUE["tire-tread"], "9").eu_class == DeficiencyClass.NONE


def test_what_ends_a_look_is_marked() -> None:
    assert judge(CATALOGUE["structure"], "6.2.2 d.2").stops
    assert not judge(CATALOGUE["structure"], "6.2.2 d").stops
    assert not judge(CATALOGUE["structure"], "good").stops


@given(st.fractions(0, 24, max_denominator=10**6), st.fractions(0, 24, max_denominator=10**6))
def test_the_class_never_gets_better_as_tread_falls(one: Fraction, other: Fraction) -> None:
    tread = CATALOGUE["tire-tread"]
    deep, shallow = max(one, other), min(one, other)
    worn = judge(tread, f"{shallow.numerator}/{shallow.denominator * 32}", "in")
    better = judge(tread, f"{deep.numerator}/{deep.denominator * 32}", "in")
    assert worn.deficiency.rank >= better.deficiency.rank


@settings(max_examples=300)
@given(st.sampled_from(MEASURED), st.data())
def test_the_class_never_gets_better_further_out(criterion: Criterion, data: st.DataObject) -> None:
    numbers = st.decimals(str(float(criterion.low)), str(float(criterion.high)), places=3)
    near, far = sorted([data.draw(numbers), data.draw(numbers)])
    lower = [limit.value for limit in criterion.limits if limit.is_lower]
    upper = [limit.value for limit in criterion.limits if not limit.is_lower]
    if lower and not upper:
        near, far = far, near
    if lower and upper and near < max(lower):
        return  # a number under a lower limit is better the larger it is
    assert judge(criterion, str(far)).deficiency.rank >= judge(criterion, str(near)).deficiency.rank


@pytest.mark.parametrize("code", [one.code for one in MEASURED])
def test_the_unit_typed_makes_no_difference(code: str) -> None:
    criterion = CATALOGUE[code]
    for limit in criterion.limits:
        plain = judge(criterion, show(limit.value, criterion.unit))
        inches = criterion.unit in {"in", "32nds"}
        other = judge(criterion, *_in_mm(limit.value, criterion.unit)) if inches else plain
        assert (plain.deficiency, plain.compared) == (other.deficiency, other.compared)


def _in_mm(value: Fraction, unit: str) -> tuple[str, str]:
    exact = value * Fraction("25.4") / (32 if unit == "32nds" else 1)
    return f"{exact.numerator}/{exact.denominator}", "mm"
