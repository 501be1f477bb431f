"""A criterion that could not be judged, or would judge a worse number better, is refused."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import Limit
from vehicles.inspection.rules import check

if TYPE_CHECKING:
    from collections.abc import Mapping

CATALOGUE = load()


def limits(*texts: str) -> dict[str, object]:
    return {"limits": tuple(Limit.parse(text) for text in texts)}


@pytest.mark.parametrize(
    ("code", "change", "message"),
    [
        (
            "brake-pads",
            limits("<= 2 -> 1.1.13 a", "< 2 -> 1.1.13 a.2"),
            "The limits of “Brake pads” are out of order.",
        ),
        (
            "brake-pads",
            limits("< 3 -> 1.1.13 a.2", "<= 2 -> 1.1.13 a"),
            "The limits of “Brake pads” are out of order.",
        ),
        (
            "brake-pads",
            limits("< 2 -> 1.1.13 a.2"),
            "The limits of “Brake pads” do not name each of its reasons.",
        ),
        (
            "tire-tread",
            {"high": Fraction(1)},
            "A limit of “Tread depth” lies outside its plausible range.",
        ),
        ("horn", limits("< 2 -> 7.7 a"), "“Horn” has limits but no unit."),
        ("horn", {"reasons": ()}, "“Horn” needs reasons, each with its own key."),
        ("horn", {"unit": "phon"}, "“phon” is not a unit this catalogue knows."),
        (
            "horn",
            {"depths": ("look",)},
            "“Horn” is read in look, full, final, at least in full.",
        ),
    ],
)
def test_a_criterion_that_contradicts_itself_is_refused(
    code: str, change: Mapping[str, object], message: str
) -> None:
    broken = replace(CATALOGUE[code], **change)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match=r".") as caught:
        check(broken)
    assert str(caught.value) == message


def test_a_limit_marked_on_the_part_is_a_difference_outside_the_range() -> None:
    rotor = CATALOGUE["brake-rotor"]
    assert rotor.limits[0].value < rotor.low
    check(rotor)
