"""Classes, limits and reasons by themselves."""

from __future__ import annotations

from fractions import Fraction

import pytest

from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass, Group, Limit, Reason


def make_reason(**fields: object) -> Reason:
    plain: dict[str, object] = {
        "key": "1.1 a",
        "text": "Worn",
        "deficiency": DeficiencyClass.NONE,
        "severity": 1,
        "source": "",
        "text_seen": True,
    }
    return Reason(**(plain | fields))  # type: ignore[arg-type]


def test_the_classes_stand_worst_first() -> None:
    # Directive 2014/45/EU Article 7, from memory; the steps were read in Czech Act 56/2001, 49.
    assert [one.value for one in DeficiencyClass] == ["dangerous", "major", "minor", "none"]
    assert [one.rank for one in DeficiencyClass] == [3, 2, 1, 0]
    assert not DeficiencyClass.MINOR.worse_than(DeficiencyClass.MINOR)


def test_labels_begin_a_sentence() -> None:
    assert DeficiencyClass.DANGEROUS.label == "Dangerous"
    assert [group.label for group in Group] == ["Walk round", "Sit in", "Look under"]


@pytest.mark.parametrize(
    ("text", "caught", "spared"),
    [
        ("< 2 -> a", "1.99", "2"),
        ("<= 2 -> a", "2", "2.01"),
        ("> 1/4 -> a", "0.251", "0.25"),
        (">= 3 -> a", "3", "2.9"),
    ],
)
def test_a_limit_catches_one_side_exactly(text: str, caught: str, spared: str) -> None:
    limit = Limit.parse(text)
    assert limit.catches(Fraction(caught))
    assert not limit.catches(Fraction(spared))


@pytest.mark.parametrize("text", ["", "2 -> a", "< 2", "< 2 ->", "= 2 -> a"])
def test_a_limit_in_another_form_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"is not a limit\. Write it as “< 2 -> 5\.2\.3 e\.2”\.$"):
        Limit.parse(text)


def test_a_us_reject_without_an_eu_class_ranks_as_major() -> None:
    assert make_reason(us_reject=True).ranks_as == DeficiencyClass.MAJOR
    assert make_reason().ranks_as == DeficiencyClass.NONE


@pytest.mark.parametrize("given", [DeficiencyClass.DANGEROUS, DeficiencyClass.MINOR])
def test_a_us_reject_leaves_an_eu_class_as_it_is(given: DeficiencyClass) -> None:
    assert make_reason(us_reject=True, deficiency=given).ranks_as == given


def test_a_source_counts_as_seen_only_if_each_of_its_texts_was() -> None:
    both = make_reason(source="EU", us_section="49 CFR 570.9(a)")
    assert (both.sources, both.sources_seen) == ("49 CFR 570.9(a); EU", False)
    seen = make_reason(source="EU", us_section="49 CFR 570.7(b)", us_text_seen=True)
    assert seen.sources_seen


def test_a_reason_is_found_by_its_key_and_refused_with_the_keys_there_are() -> None:
    fluid = load()["brake-fluid"]
    assert fluid.reason("1.8  a.2").text == "Fluid is so dirty that the brakes may fail"
    with pytest.raises(ValueError, match=r"^“9 z” is not a reason of “Brake fluid”\.") as caught:
        fluid.reason("9 z")
    assert str(caught.value).endswith("Use “good” or one of: 1.8 a, 1.8 a.2.")
