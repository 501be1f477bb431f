"""The shipped repair operations, checked against criteria, cautions and each other.

>>> load()["brake-pads-front"].title
'Replace front brake pads'
>>> [part.kind for part in load()["tie-rod-inner"].parts]
['tie_rod_inner', 'tie_rod_end']
"""

from __future__ import annotations

from collections import defaultdict
from functools import lru_cache, partial
from graphlib import CycleError, TopologicalSorter
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from shared.money import cents
from vehicles.inspection.catalogue import FOLDER, cautions
from vehicles.inspection.catalogue import load as load_criteria
from vehicles.inspection.rows import built, rows_of, words, yes_no
from vehicles.operations.operation import (
    PAPERS,
    Applies,
    Clears,
    Operation,
    Per,
    Points,
    UsualPart,
    titles,
)
from vehicles.operations.overlap import Access
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from vehicles.inspection.criteria import Criterion

_SEEN: Final = MappingProxyType({"text-seen": True, "from-memory": False})
_UNITS: Final = ("each", "pair", "set")
_SOURCES: Final = ("guess", "catalogue")
_ACCESS: Final = tuple(one.value for one in Access)
USUAL: Final = "usual"  # of days away: as the program says
DAY_MINUTES: Final = 1_440
MOST_DAYS: Final = 60


@lru_cache
def load(folder: Path = FOLDER) -> Mapping[str, Operation]:
    """Return the operations by code, in the order of their file; the files are read once.

    Raises:
        ValueError: a row is wrong, names what there is not, or an operation needs itself.
    """
    parts = _parts(folder)
    criteria = load_criteria(folder=folder).criteria
    found: dict[str, Operation] = {}
    for where, row in rows_of(folder / "operations.csv"):
        if row["code"] in found:
            raise ValueError(f"{where}: “{row['code']}” stands there twice.")
        own = tuple(parts.pop(row["code"], ()))
        operation = built(partial(_operation, parts=own, criteria=criteria), where, row)
        _check_cautions(operation, folder, where)
        found[operation.code] = operation
    if parts:
        raise ValueError(f"operation_parts.csv: no operation has the code “{min(parts)}”.")
    _check_order(found)
    return MappingProxyType(found)


def order_of_work(operations: Mapping[str, Operation]) -> dict[str, set[str]]:
    """Return for each operation those that come before it, where both are done."""
    before = {code: set(one.first) for code, one in operations.items()}
    for code, one in operations.items():
        for brought in one.brings:
            before[brought].add(code)
    return before


def _parts(folder: Path) -> dict[str, list[UsualPart]]:
    """Return the usual parts by the code of their operation."""
    found: dict[str, list[UsualPart]] = defaultdict(list)
    for where, row in rows_of(folder / "operation_parts.csv"):
        found[row["operation"]].append(built(_part, where, row))
    return found


def _part(row: Mapping[str, str]) -> UsualPart:
    """Return the part of one row of operation_parts.csv."""
    quantity = int(row["quantity"])
    if quantity < 1:
        raise ValueError(f"A quantity of {quantity} is not possible.")
    return UsualPart(
        kind=row["kind"],
        title=row["title"],
        quantity=quantity,
        per_place={"place": True, "job": False}[row["count"]],
        unit=_word(row["unit"], _UNITS),
        price=Points(
            low=cents(row["price_low_usd"]),
            likely=cents(row["price_usd"]),
            high=cents(row["price_high_usd"]),
        ),
        source=_word(row["source"], _SOURCES),
        text_seen=_SEEN[row["mark"]],
    )


def _operation(
    row: Mapping[str, str], parts: tuple[UsualPart, ...], criteria: Mapping[str, Criterion]
) -> Operation:
    """Return the operation of one row of operations.csv."""
    system = System.parse(row["system"])
    return Operation(
        code=row["code"],
        title=row["title"],
        system=system,
        per=Per(row["per"]),
        minutes=Points(
            low=int(row["minutes_low"]),
            likely=int(row["minutes_likely"]),
            high=int(row["minutes_high"]),
        ),
        shared_minutes=int(row["minutes_shared"]),
        access=_word(row["access"], _ACCESS) if row["access"] else "",
        rest_minutes=_count(row["rest_minutes"], "minutes of rest", DAY_MINUTES),
        needs_lift=yes_no(row["needs_lift"]),
        skills=tuple(_skill(one) for one in words(row["skills"])),
        positions=words(row["positions"]),
        applies=tuple(Applies(one) for one in words(row["applies"])),
        first=words(row["first"]),
        brings=words(row["brings"]),
        clears=tuple(_clears(text, criteria) for text in row["clears"].split(";") if text.strip()),
        parts=parts,
        sublet_cents=cents(row["sublet_usd"]),
        outside_days=_outside(row),
        cautions=words(row["cautions"]),
        source=row["source"],
        text_seen=_SEEN[row["mark"]],
    )


def _count(text: str, what: str, most: int) -> int:
    """Return a whole number of a cell."""
    if not text.isascii() or not text.isdigit() or int(text[:9]) > most:
        raise ValueError(f"“{text}” {what} are not possible: 0 to {most:,}.")
    return int(text)


def _outside(row: Mapping[str, str]) -> int | None:
    """Return how many business days the car is away; None is as long as the program says."""
    if row["outside_days"] == USUAL:
        return None
    return _count(row["outside_days"], "days away", MOST_DAYS)


def _skill(code: str) -> str:
    """Return the code of a system or of a paper."""
    return code if code in PAPERS else System.parse(code).value


def _word(word: str, known: tuple[str, ...]) -> str:
    if word not in known:
        raise ValueError(f"“{word}” is not one of: {', '.join(known)}.")
    return word


def _clears(text: str, criteria: Mapping[str, Criterion]) -> Clears:
    """Return what is written as `tire-age`, or `tail-lamps: 4.2.1 a, 4.2.1 b`."""
    code, _, keys = (part.strip() for part in text.partition(":"))
    if code not in criteria:
        raise ValueError(f"“{code}” is not a criterion of the catalogue.")
    reasons = [" ".join(key.split()) for key in keys.split(",") if key.strip()]
    for key in reasons:
        criteria[code].reason(key)
    return Clears(criterion=code, title=criteria[code].title, reasons=frozenset(reasons))


def _check_cautions(operation: Operation, folder: Path, where: str) -> None:
    known = cautions(folder)
    for code in operation.cautions:
        if code not in known:
            raise ValueError(f"{where}: “{code}” is not a caution of cautions.csv.")


def _check_order(operations: Mapping[str, Operation]) -> None:
    """Refuse operations that name one there is not, or that need themselves in a circle."""
    for code, one in operations.items():
        for other in (*one.first, *one.brings):
            if other not in operations:
                raise ValueError(f"“{code}” names “{other}”, which is not an operation.")
        for brought in one.brings:
            if operations[brought].per is not Per.CAR:
                raise ValueError(f"“{code}” brings “{brought}”, which is not one job a car.")
    # In order, so that one circle is named and always the same.
    order = {code: sorted(before) for code, before in order_of_work(operations).items()}
    try:
        TopologicalSorter(order).prepare()
    except CycleError as error:
        # graphlib repeats the first of the circle at its end, and lists what comes first first.
        first, *others = reversed(error.args[1][:-1])
        by_way = f", by way of {titles(operations, others)}" if others else ""
        raise ValueError(f"“{operations[first].title}” needs itself{by_way}.") from None
