"""What is added to labor and parts by the program's rule: tax, shop supplies, its own correction.

>>> rates = Rates(parts_tax_hundredths=825, supplies_percent=5, supplies_most_cents=25_00)
>>> tax_cents(140_00, rates), supplies_cents(200_00, rates), supplies_cents(900_00, rates)
(1155, 1000, 2500)
>>> corrected(90, 108)
97

Everything is whole cents and whole minutes; a half is rounded up, as a counter's receipt does. Tax
is rounded for each part line, since each is bought on its own receipt, and the tax of a car is
their sum: what a plan counts for one part and what an estimate shows for the car add up exactly.
Work done elsewhere is billed as agreed: neither taxed nor charged with supplies here. Which sales
are taxed differs by state (common practice, no source); the treasurer sets the rule.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Self

if TYPE_CHECKING:
    from collections.abc import Mapping

MINUTES_PER_HOUR = 60
_WHOLE_PERCENT = 100
_WHOLE_HUNDREDTHS = 10_000


@dataclass(frozen=True, kw_only=True)
class Rates:
    """The program's rule for what work costs; each field is the policy of its name.

    Without a value an hour costs nothing, nothing is added, and nothing is corrected.
    """

    labor_cents_per_hour: int = 0
    parts_tax_hundredths: int = 0
    supplies_percent: int = 0
    supplies_most_cents: int = 0
    labor_correction_percent: int = 100
    parts_correction_percent: int = 100

    @classmethod
    def of(cls, rules: Mapping[str, int]) -> Self:
        """Return the rates among the policies of a program, as `policies` reads them."""
        return cls(**{one.name: rules[one.name] for one in fields(cls)})


@dataclass(frozen=True, kw_only=True)
class Cash:
    """The cents of one item, or of a car, at one of the three points, by what they are for."""

    labor: int = 0
    parts: int = 0
    outside: int = 0
    tax: int = 0
    supplies: int = 0

    @property
    def work(self) -> int:
        """Labor, parts and work done elsewhere: what stands on the item's own line."""
        return self.labor + self.parts + self.outside

    @property
    def total(self) -> int:
        """Everything."""
        return self.work + self.tax + self.supplies


def corrected(amount: int, percent: int) -> int:
    """Return an amount of 0 or more at so many percent, a half rounded up."""
    return (amount * percent + _WHOLE_PERCENT // 2) // _WHOLE_PERCENT


def labor_cents(minutes: int, cents_per_hour: int) -> int:
    """Return what minutes of paid labor cost, rounded up to a cent."""
    return -(-minutes * cents_per_hour // MINUTES_PER_HOUR)


def tax_cents(parts_cents: int, rates: Rates) -> int:
    """Return the sales tax on one part line, a half cent rounded up."""
    return (parts_cents * rates.parts_tax_hundredths + _WHOLE_HUNDREDTHS // 2) // _WHOLE_HUNDREDTHS


def supplies_cents(parts_and_labor_cents: int, rates: Rates) -> int:
    """Return the shop supplies of one car: a share of its parts and paid labor, capped."""
    share = corrected(parts_and_labor_cents, rates.supplies_percent)
    return min(share, rates.supplies_most_cents)


def with_supplies(items: list[Cash], rates: Rates) -> Cash:
    """Return the sum of a car's items at one point, with the supplies that are asked once a car."""
    labor, parts = sum(one.labor for one in items), sum(one.parts for one in items)
    return Cash(
        labor=labor,
        parts=parts,
        outside=sum(one.outside for one in items),
        tax=sum(one.tax for one in items),
        supplies=supplies_cents(labor + parts, rates),
    )
