"""Money as whole US cents: reading what people type, and writing it as a ledger does.

>>> cents("$1,240.50")
124050
>>> usd(-124050)
'−$1,240.50'
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

MINUS = "\N{MINUS SIGN}"
LIMIT_CENTS = 10**12  # ten billion dollars: far beyond any charity, far below 64 bits

_TYPED = re.compile(
    r"(?P<sign>[-\N{MINUS SIGN}]?)\$?(?P<whole>\d{1,3}(,\d{3})+|\d+)(\.(?P<part>\d{2}))?",
    re.ASCII,
)


def cents(text: str) -> int:
    """Return the whole cents of a typed amount such as `1,240.50`, `$12` or `-3.00`.

    Raises:
        ValueError: the text is no amount, has a third decimal, or is beyond `LIMIT_CENTS`.
    """
    match = _TYPED.fullmatch(text.strip())
    if not match:
        raise ValueError(f"“{text}” is not an amount. Type dollars and cents, such as 1240.50.")
    amount = int(match["whole"].replace(",", "")) * 100 + int(match["part"] or 0)
    if amount >= LIMIT_CENTS:
        raise ValueError(f"“{text}” is more than this ledger can hold.")
    return -amount if match["sign"] else amount


def dollars(amount: int) -> str:
    """Return cents as `1,240.50`, with a true minus sign and always two decimals."""
    sign = MINUS if amount < 0 else ""
    whole, part = divmod(abs(amount), 100)
    return f"{sign}{whole:,}.{part:02}"


def usd(amount: int) -> str:
    """Return cents as a sentence writes them: `$1,240.50`, a minus before the dollar sign."""
    return f"{MINUS if amount < 0 else ''}${dollars(abs(amount))}"


def share_out(amount: int, weights: Sequence[int]) -> list[int]:
    """Return `amount` cents split by whole non-negative weights, every cent placed.

    Largest remainder; ties go to the earlier weight. With all weights zero the parts are equal.

    >>> share_out(100, [1, 1, 1])
    [34, 33, 33]
    """
    sizes = list(weights)
    if not sizes:
        return []
    total = sum(sizes)
    if total == 0:
        sizes, total = [1] * len(sizes), len(sizes)
    parts = [amount * size // total for size in sizes]
    order = sorted(range(len(sizes)), key=lambda i: (-(amount * sizes[i] % total), i))
    for i in order[: amount - sum(parts)]:
        parts[i] += 1
    return parts
