"""A judgment as the fields that a reading and a finding keep."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.judge import judge
from vehicles.inspection.judged import (
    TITLE_LENGTH,
    driving,
    finding_title,
    judged_fields,
    makes_finding,
    two_facts,
)
from vehicles.inspection.models import Finding, Reading

if TYPE_CHECKING:
    from vehicles.inspection.criteria import Criterion

TREAD = load()["tire-tread"]


def strands() -> tuple[Criterion, str]:
    """Return a criterion with the key of a reason without a class that strands the car."""
    return next(
        (criterion, reason.key)
        for criterion in load().criteria.values()
        for reason in criterion.reasons
        if reason.strands and reason.ranks_as == "none" and not criterion.is_measured
    )


def test_what_is_kept_are_fields_of_readings_and_findings_alike() -> None:
    fields = judged_fields(TREAD, judge(TREAD, "1/32"))
    for model in (Reading, Finding):
        assert set(fields) <= {field.name for field in model._meta.get_fields()}


def test_the_class_its_reason_and_where_it_was_read_are_kept() -> None:
    """Source: 49 CFR 570.9(a), 2/32 in; class after Directive 2014/45/EU 5.2.3 (e)."""
    fields = judged_fields(TREAD, judge(TREAD, "1/32"))
    assert (fields["deficiency"], fields["reason_key"]) == ("dangerous", "5.2.3 e.2")
    assert (fields["us_reject"], fields["text_seen"]) == (True, False)
    assert str(fields["source"]).startswith("49 CFR 570.9(a)")


def test_a_good_reading_keeps_no_reason() -> None:
    fields = judged_fields(TREAD, judge(TREAD, "9/32"))
    assert (fields["deficiency"], fields["reason_key"]) == ("none", "")


def test_a_class_or_a_stranded_car_makes_a_finding() -> None:
    assert makes_finding(judge(TREAD, "1/32"))
    assert not makes_finding(judge(TREAD, "9/32"))


def test_what_strands_without_a_class_makes_a_finding() -> None:
    criterion, key = strands()
    assert makes_finding(judge(criterion, key))


def test_a_title_names_point_place_and_value() -> None:
    assert finding_title(TREAD, "RR", judge(TREAD, "1/32")) == "Tread depth, RR: 1/32 in of tread"
    lamps = load()["stop-lamps"]
    assert finding_title(lamps, "", judge(lamps, "4.3.1 a.2")) == "Stop lamps: A stop lamp is out"


def test_a_maker_limit_is_left_out_of_the_title() -> None:
    rotor = load()["brake-rotor"]
    title = finding_title(rotor, "LF", judge(rotor, "0.86 min 0.88"))
    assert title == f"Rotor thickness, LF: 0.86 in {rotor.phrase}".rstrip()


def test_no_title_is_longer_than_its_field() -> None:
    for criterion in load().criteria.values():
        for reason in criterion.reasons if not criterion.is_measured else ():
            for position in criterion.positions or ("",):
                title = finding_title(criterion, position, judge(criterion, reason.key))
                assert len(title) <= TITLE_LENGTH


@pytest.mark.parametrize(
    ("code", "value", "facts"),
    [
        ("tire-tread", "1", ["EU: dangerous.", "49 CFR 570: reject."]),
        ("shock-bounce", "3", ["49 CFR 570: reject."]),
        ("parking-brake-grade", "15", ["EU: major."]),
        ("steering-toe", "151", ["EU: minor.", "49 CFR 570: reject."]),
        ("tire-tread", "9", []),
    ],
)
def test_the_two_laws_are_said_each_by_itself(code: str, value: str, facts: list[str]) -> None:
    """Sources: 49 CFR 570.9(a), 570.8(b) and 570.7(d); EU items 5.2.3, 1.4.2 and 2.4."""
    assert [str(fact) for fact in two_facts(judge(load()[code], value))] == facts


@pytest.mark.parametrize(
    ("deficiency", "sentence"),
    [
        (
            "dangerous",
            (
                "Do not drive: it is an immediate danger, and the car stays off the road "
                "until repaired."
            ),
        ),
        ("major", "The car fails inspection: drive it no further than the repair asks."),
        ("minor", "The car may be driven; put this right without delay."),
        ("none", "Nothing here speaks against driving."),
    ],
)
def test_a_class_says_whether_the_car_may_be_driven(deficiency: str, sentence: str) -> None:
    """Sources: Czech Act 56/2001, 49 to 52, Finnish vehicle act 82/2021, 157 and 159; both seen."""
    assert str(driving(DeficiencyClass(deficiency))) == sentence


@pytest.mark.parametrize("deficiency", DeficiencyClass)
def test_what_is_never_handed_back_open_is_not_driven(deficiency: DeficiencyClass) -> None:
    """Program policy: tier 0 of the hazard rule, do not drive and not released."""
    assert str(driving(deficiency, never_release=True)).startswith("Do not drive: ")
