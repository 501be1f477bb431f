"""Which points of the catalogue a car has, and which of them have to be read.

>>> from vehicles.inspection.catalogue import load
>>> from vehicles.intake.car import Brake, CarFacts
>>> shoes = load().criteria["brake-shoes"]
>>> places(shoes, CarFacts(rear_brakes=Brake.DISC))
()
>>> applies(shoes, CarFacts())
True
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from vehicles.inspection.criteria import Criterion
    from vehicles.intake.car import CarFacts


def places(criterion: Criterion, car: CarFacts) -> tuple[str, ...]:
    """Return the places where this car has the point; `('',)` for one that is read once.

    Empty where the car does not have it at all, or no car built for the United States does.
    """
    if not criterion.fitted_us:
        return ()
    return tuple(
        place
        for place in criterion.positions or ("",)
        if all(clause.holds(car) for clause in criterion.applies if clause.binds(place))
    )


def applies(criterion: Criterion, car: CarFacts) -> bool:
    """Return whether the car has the point, as far as is known."""
    return bool(places(criterion, car))


def lacked(criterion: Criterion, lacking: Collection[str]) -> tuple[str, ...]:
    """Return the equipment of the point that the shop does not have."""
    missing = {name.casefold() for name in lacking}
    return tuple(name for name in criterion.equipment_names if name.casefold() in missing)


def how_to_read(criterion: Criterion, lacking: Collection[str] = ()) -> str:
    """Return the method, or the substitute where the shop lacks what the method takes."""
    if lacked(criterion, lacking) and criterion.substitute:
        return criterion.substitute
    return criterion.method


def stands_in_the_way(
    criterion: Criterion, lacking: Collection[str] = (), read: Collection[str] = ()
) -> bool:
    """Return whether the point, while unread, keeps the sheet from being complete.

    It does not where it takes equipment that the shop lacks and there is no other way to read it,
    where it only reads another point more closely, where a point of `read` settles it, or where no
    car built for the United States has it.
    """
    if not criterion.fitted_us or criterion.detail_of:
        return False
    if any(code in read for code in criterion.settled_by):
        return False
    return bool(criterion.substitute) or not lacked(criterion, lacking)


def equipment(criteria: Iterable[Criterion]) -> tuple[str, ...]:
    """Return the names of all equipment that the criteria take, in the order of the alphabet."""
    return tuple(sorted({name for one in criteria for name in one.equipment_names}))
