"""Sentences about a fluid: the one next step, why an amount is too much, how it is chosen.

>>> from fractions import Fraction
>>> from vehicles.inspection.units import Quantity
>>> str(too_much(Quantity(Fraction(1), "qt"), Quantity(Fraction(1, 2), "qt"), in_steps=False))
'1 qt is more than the 1/2 qt that it holds in all.'
>>> kind_of_bottle(Kind.DOT)
'The grade on the cap, such as “DOT 3”.'
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.fluids.specifications import Kind

if TYPE_CHECKING:
    from vehicles.inspection.units import Quantity

#: Where an answer of the maker may come from.
SOURCES: Final = (
    "Owner’s book",
    "Maker’s service book",
    "On the stick",
    "On the cap or the tank",
    "Label under the hood",
    "Parts counter, by VIN",
)
_BOTTLES: Final = MappingProxyType(
    {
        Kind.OIL: "Grade and class, such as “5W-30 API SP”. “Or” between two that both will do.",
        Kind.LISTED: "The name of the specification, such as “SP-IV”. A color says nothing.",
        Kind.DOT: "The grade on the cap, such as “DOT 3”.",
        Kind.NONE: "Any that is sold for this purpose.",
    }
)


def kind_of_bottle(kind: Kind) -> str:
    """Return what is typed as the specification of such a fluid."""
    return _BOTTLES[kind]


def too_much(amount: Quantity, most: Quantity, *, in_steps: bool) -> Say:
    """Return why an amount is refused: more than the step's, or more than the part holds."""
    if not in_steps:
        return say(
            "{amount} is more than the {most} that it holds in all.",
            amount=str(amount),
            most=str(most),
        )
    return say(
        "{amount} is more than the {most} of this step. More shows only once it has settled, and "
        "too much does harm. If it is in already: read it again, and record what the level shows.",
        amount=str(amount),
        most=str(most),
    )
