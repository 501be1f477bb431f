"""A number that is legal now is said with the month it won't be."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass, Override
from vehicles.inspection.judge import judge
from vehicles.inspection.units import Quantity, convert
from vehicles.inspection.wear import (
    COMMON,
    HORIZON_WEEKS,
    Measured,
    Pattern,
    across,
    near,
    own_rate,
    wear,
)

CRITERIA = load().criteria
TREAD, PADS = CRITERIA["tire-tread"], CRITERIA["brake-pads"]
TODAY = date(2026, 11, 25)
NUMBERS = st.fractions(0, 24, max_denominator=64)
MILES = st.integers(0, 1500)


def measured(*pairs: tuple[str, int]) -> list[Measured]:
    return [Measured(number=Fraction(number), odometer=miles) for number, miles in pairs]


def test_a_tread_is_legal_now_and_under_the_limit_by_about_a_month() -> None:
    # Worked by hand: 0.7/32 in at 5,000 miles for each is 3,500 miles, 15.9 weeks of 220 miles,
    # 111 days after November 25: March 16. The rate is common practice, no source.
    found = wear(TREAD, Fraction("2.7"), miles_per_week=220, today=TODAY)
    assert found is not None
    assert (found.miles_left, found.by, found.near) == (3500, date(2027, 3, 1), True)
    assert str(found.sentence) == (
        "2.7/32 in of tread: legal now, under 2/32 in by about March at 220 miles a week, "
        "by usual wear."
    )
    assert (found.rate.source, found.rate.text_seen) == (COMMON, False)


def test_two_earlier_readings_give_the_cars_own_rate() -> None:
    # 2/32 in over 5,000 miles is 2,500 miles for each; 1/32 in is left: 2,500 miles, 80 days.
    row = measured(("5", 100_000), ("3", 105_000))
    found = wear(TREAD, Fraction(3), miles_per_week=220, today=TODAY, readings=row)
    assert found is not None
    assert (found.rate.own, found.rate.miles) == (True, Fraction(2500))
    assert str(found.sentence) == (
        "3/32 in of tread: legal now, under 2/32 in by about February at 220 miles a week, "
        "by this car's own wear."
    )


@pytest.mark.parametrize(
    ("why", "row"),
    [
        ("one reading is no rate", (("5", 100_000),)),
        ("less than the step of a gauge", (("3.9", 100_000), ("3", 105_000))),
        ("hardly driven between", (("5", 100_000), ("3", 100_499))),
        ("it did not wear", (("3", 100_000), ("3", 105_000))),
        ("a new tire since the last reading", (("5", 100_000), ("2", 109_000))),
        ("a new tire between, once read since", (("2", 100_000), ("3", 105_000))),
    ],
)
def test_readings_that_show_no_rate_leave_the_usual_one(
    why: str, row: tuple[tuple[str, int], ...]
) -> None:
    assert own_rate(TREAD, Fraction(3), measured(*row)) is None, why


def test_only_what_came_after_a_new_part_counts() -> None:
    row = measured(("2", 90_000), ("10", 91_000), ("8", 99_000), ("7", 103_000))
    rate = own_rate(TREAD, Fraction(7), row)
    assert rate is not None
    assert rate.miles == 4000


def test_pads_wear_longer_on_the_rear_axle() -> None:
    # Common practice, no source: 4,000 miles a millimeter in front, 6,000 at the rear.
    number = convert(Fraction(3), "mm", "32nds")
    front, rear = (
        wear(PADS, number, at, miles_per_week=200, today=TODAY) for at in ("LF-inner", "RR-outer")
    )
    assert front is not None
    assert rear is not None
    # 3 mm less 2/32 in is 1.4125 mm.
    assert (front.miles_left, rear.miles_left) == (5650, 8475)


def test_a_car_that_is_not_driven_has_no_date() -> None:
    found = wear(TREAD, Fraction("2.7"), miles_per_week=0, today=TODAY)
    assert found is not None
    assert found.by is None
    assert str(found.sentence) == "2.7/32 in of tread: legal now, near the limit of 2/32 in."


def test_a_number_that_a_limit_catches_is_a_finding_and_no_wear() -> None:
    number = Fraction("1.9")
    assert judge(TREAD, "1.9").deficiency == DeficiencyClass.DANGEROUS
    assert wear(TREAD, number, miles_per_week=220, today=TODAY) is None
    assert near(TREAD, number) is None


def test_a_local_limit_moves_the_month() -> None:
    override = Override(
        criterion="tire-tread",
        reason="5.2.3 e.2",
        value=Fraction(3),
        since=TODAY,
        because="The state asks for 3/32 in.",
    )
    local = load([override]).criteria["tire-tread"]
    found = wear(local, Fraction("3.7"), miles_per_week=220, today=TODAY)
    assert found is not None
    assert (found.limit, found.by) == (Quantity(Fraction(3), "32nds"), date(2027, 3, 1))
    assert wear(local, Fraction("2.7"), miles_per_week=220, today=TODAY) is None


def test_the_first_of_two_limits_ends_the_good_number() -> None:
    override = Override(
        criterion="brake-pads",
        reason="1.1.13 a",
        value=Fraction(3),
        since=TODAY,
        because="The state asks for 3/32 in.",
    )
    local = load([override]).criteria["brake-pads"]
    found = wear(local, Fraction("3.5"), "LF-inner", miles_per_week=220, today=TODAY)
    assert found is not None
    assert found.limit == Quantity(Fraction(3), "32nds")


def test_a_date_is_said_up_to_the_horizon_and_not_beyond() -> None:
    # 48 weeks of 250 miles are 12,000 miles, 2.4/32 in at the usual 5,000 miles for each.
    last, beyond = (
        wear(TREAD, Fraction(number), miles_per_week=250, today=TODAY) for number in ("4.4", "4.41")
    )
    assert last is not None
    assert last.by == date(2027, 10, 1)
    assert beyond is None


@pytest.mark.parametrize(
    ("code", "number", "advised"),
    [
        # Advised from 4/32 in of tread and from 3 mm of pad down: common practice, no source.
        ("tire-tread", Fraction(4), True),
        ("tire-tread", Fraction("4.1"), False),
        ("brake-pads", convert(Fraction(3), "mm", "32nds"), True),
        ("brake-pads", Fraction(4), False),  # 4/32 in is 3.175 mm
        ("brake-pads", Fraction(2), False),  # caught: it is a finding
        ("brake-shoes", Fraction(3), False),
        ("battery-voltage", Fraction(12), False),
    ],
)
def test_shops_advise_before_the_law_does(code: str, number: Fraction, *, advised: bool) -> None:
    assert (near(CRITERIA[code], number) is not None) == advised


def test_a_new_part_and_a_part_that_does_not_wear_say_nothing() -> None:
    assert wear(TREAD, Fraction(10), miles_per_week=220, today=TODAY) is None
    assert wear(CRITERIA["battery-voltage"], Fraction(12), miles_per_week=9, today=TODAY) is None
    assert wear(CRITERIA["brake-rotor"], Fraction(0), miles_per_week=9, today=TODAY) is None


def test_miles_below_zero_are_refused() -> None:
    message = r"^-1 miles a week is not possible\. Type 0 or more\.$"
    with pytest.raises(ValueError, match=message):
        wear(TREAD, Fraction(3), miles_per_week=-1, today=TODAY)


@given(NUMBERS, NUMBERS, MILES)
def test_more_tread_never_ends_earlier(one: Fraction, other: Fraction, miles: int) -> None:
    less, more = sorted((one, other))
    worn, good = (wear(TREAD, number, miles_per_week=miles, today=TODAY) for number in (less, more))
    if worn and good and worn.by and good.by:
        assert worn.by <= good.by
    if good and less >= good.limit.value:
        assert worn is not None


@given(NUMBERS, MILES, MILES)
def test_more_miles_never_end_later(number: Fraction, one: int, other: int) -> None:
    few, many = (
        wear(TREAD, number, miles_per_week=miles, today=TODAY) for miles in sorted((one, other))
    )
    if few and few.by:
        assert many is not None
        assert many.by is not None
        assert TODAY.replace(day=1) <= many.by <= few.by


@given(NUMBERS, MILES)
def test_what_wears_out_within_the_horizon_is_said_unless_it_is_a_finding(
    number: Fraction, miles: int
) -> None:
    found = wear(TREAD, number, miles_per_week=miles, today=TODAY)
    good = judge(TREAD, f"{number.numerator}/{number.denominator * 32}").reason is None
    soon = 0 <= (number - 2) * 5000 <= HORIZON_WEEKS * miles if miles else False
    assert (found is not None) == (good and (soon or number <= 4))


@pytest.mark.parametrize(
    ("inner", "middle", "outer", "worn"),
    [
        # From 2/32 in on, and the causes: common practice, no source.
        (7, 8, 8, Pattern.EVEN),
        (6, 8, 8, Pattern.INNER),
        (8, 7, 5, Pattern.OUTER),
        (5, 8, 5, Pattern.EDGES),
        (5, 8, 6, Pattern.EDGES),
        (8, 6, 8, Pattern.MIDDLE),
        (4, 8, 8, Pattern.INNER),
        (5, 4, 6, Pattern.MIDDLE),
    ],
)
def test_the_pattern_says_where_a_tire_is_worn(
    inner: int, middle: int, outer: int, worn: Pattern
) -> None:
    assert across(Fraction(inner), Fraction(middle), Fraction(outer)) is worn


@given(NUMBERS, NUMBERS, NUMBERS)
def test_a_tire_seen_from_its_other_side_is_worn_the_same(
    inner: Fraction, middle: Fraction, outer: Fraction
) -> None:
    mirror = {Pattern.INNER: Pattern.OUTER, Pattern.OUTER: Pattern.INNER}
    worn = across(inner, middle, outer)
    assert across(outer, middle, inner) is mirror.get(worn, worn)
    assert (worn is Pattern.EVEN) == (max(inner, middle, outer) - min(inner, middle, outer) < 2)


def test_every_pattern_is_a_reason_of_the_catalogue() -> None:
    keys = {one.key for one in CRITERIA["tire-wear-across"].reasons}
    assert keys == {one.value for one in Pattern if one}
    assert {one.eu_class for one in CRITERIA["tire-wear-across"].reasons} == {DeficiencyClass.NONE}
