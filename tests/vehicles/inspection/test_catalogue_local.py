"""A program's own limits: the shipped one stays in sight, what makes no sense is refused."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from vehicles.inspection.catalogue import load, refuse_override
from vehicles.inspection.criteria import DeficiencyClass, Limit, Override
from vehicles.inspection.judge import judge

CATALOGUE = load()


def make_override(**fields: object) -> Override:
    plain: dict[str, object] = {
        "criterion": "tire-tread",
        "reason": "5.2.3 e.2",
        "value": Fraction(3),
        "since": date(2026, 7, 1),
        "because": "The state asks for 3/32 in.",
    }
    return Override(**(plain | fields))  # type: ignore[arg-type]


def test_a_local_limit_moves_the_limit_and_keeps_the_original_in_sight() -> None:
    changed = load([make_override()])["tire-tread"]
    assert changed.limits == (Limit("<", Fraction(3), "5.2.3 e.2"),)
    assert changed.shipped_limits == CATALOGUE["tire-tread"].limits
    assert changed.overrides == (make_override(),)
    assert judge(changed, "5/64").deficiency == DeficiencyClass.DANGEROUS


def test_a_local_limit_of_a_point_judges_its_details_too() -> None:
    moved = load([make_override()]).criteria
    assert moved["tire-tread-across"].limits == moved["tire-tread"].limits
    assert moved["tire-tread-across"].shipped_limits == load()["tire-tread"].limits


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
