"""Units are exact: what was typed is compared as a fraction."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.inspection.units import UNITS, Quantity, convert, number, parse, same_kind, show, unit

PAIRS = [(one.code, other.code) for one in UNITS.values() for other in same_kind(one.code)]


@pytest.mark.parametrize(
    ("value", "source", "target", "expected"),
    [
        # International yard and pound, 1959: 1 in is 25.4 mm; common knowledge, from memory.
        (Fraction(1), "in", "mm", Fraction("25.4")),
        # 49 CFR 571.139 S5.4, from memory: wear bars at 1/16 in, which is 2/32 in, about 1.6 mm.
        (Fraction(2), "32nds", "in", Fraction(1, 16)),
        (Fraction(2), "32nds", "mm", Fraction("1.5875")),
        (Fraction(1), "ft", "in", Fraction(12)),
        # NIST SP 811, appendix B.8, from memory: 1 lbf is 4.448 221 615 260 5 N exactly.
        (Fraction(1), "lbf", "N", Fraction("4.4482216152605")),
        # DOT 3 dry boiling point, 49 CFR 571.116 S5.1.1: 205 degC is 401 degF; text seen.
        (Fraction(205), "degC", "degF", Fraction(401)),
        # DOT 4 wet boiling point, 49 CFR 571.116 S5.1.2: 155 degC is 311 degF; text seen.
        (Fraction(155), "degC", "degF", Fraction(311)),
        # SAE J537 cold cranking: 0 degF, given as -18 degC; text seen (rounded there).
        (Fraction(0), "degF", "degC", Fraction(-160, 9)),
        (Fraction(1), "V", "mV", Fraction(1000)),
    ],
)
def test_a_conversion_is_exact(
    value: Fraction, source: str, target: str, expected: Fraction
) -> None:
    assert convert(value, source, target) == expected


def test_a_pressure_agrees_with_a_printed_pair() -> None:
    # A cap of 20 psi is marked 138 kPa, Jeep Compass 2021 service manual; text seen.
    assert round(convert(Fraction(20), "psi", "kPa")) == 138


def test_unlike_units_are_not_converted() -> None:
    with pytest.raises(ValueError, match=r"^A number in psi can't be turned into millimeters\.$"):
        convert(Fraction(1), "psi", "mm")


@given(st.sampled_from(PAIRS), st.fractions())
def test_there_and_back_is_the_same_number(pair: tuple[str, str], value: Fraction) -> None:
    source, target = pair
    assert convert(convert(value, source, target), target, source) == value


@pytest.mark.parametrize(
    ("typed", "default", "expected"),
    [
        ("5", "32nds", Quantity(Fraction(5), "32nds")),
        ("4.5", "32nds", Quantity(Fraction(9, 2), "32nds")),
        ("5/32", "32nds", Quantity(Fraction(5, 32), "in")),
        ("5/32 in", "32nds", Quantity(Fraction(5, 32), "in")),
        ("4.5/32", "in", Quantity(Fraction(9, 2), "32nds")),
        (" 1 1/2 in ", "mm", Quantity(Fraction(3, 2), "in")),
        ('1/4"', "in", Quantity(Fraction(1, 4), "in")),
        ("1.6mm", "32nds", Quantity(Fraction(8, 5), "mm")),
        ("12.06 Volts", "V", Quantity(Fraction("12.06"), "V")),
        ("20 %", "percent", Quantity(Fraction(20), "percent")),
        ("−18 °C", "degF", Quantity(Fraction(-18), "degC")),
        (".5 in", "in", Quantity(Fraction(1, 2), "in")),
        ("32 PSI", "kPa", Quantity(Fraction(32), "psi")),
    ],
)
def test_typed_text_is_read_exactly(typed: str, default: str, expected: Quantity) -> None:
    assert parse(typed, default) == expected


@pytest.mark.parametrize(
    "typed", ["", "abc", "1/0", "1,5", "1e3", "--2", "1 2", "nan", "½", "1/2/3", "١٢", "６"]
)
def test_what_is_not_a_number_is_refused(typed: str) -> None:
    with pytest.raises(ValueError, match=r"is not a (number|unit this catalogue knows)\.$"):
        parse(typed, "in")


def test_a_number_without_end_is_refused_in_few_words() -> None:
    with pytest.raises(ValueError, match=r"^“9{40}” is not a number\.$"):
        parse("9" * 5000, "in")


def test_an_unknown_unit_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match=r"^“furlongs” is not a unit this catalogue knows\.$"):
        unit("furlongs")


@pytest.mark.parametrize(
    ("value", "code", "expected"),
    [
        (Fraction(1), "32nds", "1/32 in"),
        (Fraction(5, 2), "32nds", "2.5/32 in"),
        (Fraction(9, 4), "in", "2 1/4 in"),
        (Fraction(-1, 4), "in", "-1/4 in"),
        (Fraction("0.13"), "in", "0.13 in"),
        (Fraction("12.06"), "V", "12.06 V"),
        (Fraction(20), "percent", "20%"),
        (Fraction(98), "degF", "98 °F"),
        (Fraction(1, 3), "mm", "0.333 mm"),
        (Fraction(90), "per_min", "90 a minute"),
    ],
)
def test_a_number_is_shown_as_a_shop_writes_it(value: Fraction, code: str, expected: str) -> None:
    assert show(value, code) == expected


def test_a_quantity_reads_as_it_is_shown() -> None:
    assert str(Quantity(Fraction(1, 32), "in")) == "1/32 in"
    assert number(Fraction(150)) == "150"


@given(st.integers(0, 10**6), st.sampled_from(sorted(UNITS)))
def test_what_is_shown_is_read_back(value: int, code: str) -> None:
    assert parse(show(Fraction(value), code), code) in {
        Quantity(Fraction(value), code),
        Quantity(Fraction(value, 32), "in"),
    }
