"""Titles of jobs and parts in Spanish: our own translation, which nobody sworn has read."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import pytest

from vehicles.inspection.wording import spanish
from vehicles.intake.car import CarFacts
from vehicles.operations.catalogue import load
from vehicles.operations.operation import Per
from vehicles.operations.proposing import Found, propose
from vehicles.operations.wording import title_in

if TYPE_CHECKING:
    from collections.abc import Iterator

    from vehicles.operations.operation import Operation

WORDS = spanish()
OPERATIONS = load()


def proposed(operation: Operation, places: tuple[str, ...]) -> list[str]:
    """Return the titles of the jobs that faults of this operation at these places bring."""
    own = {one: OPERATIONS[one] for one in (operation.code, *operation.brings)}
    faults = [
        Found(id=at, criterion="", position=place, operation=operation.code, title="Fault")
        for at, place in enumerate(places)
    ]
    return [job.title for job in propose(faults, own, CarFacts())[0]]


def choices(operation: Operation) -> Iterator[tuple[str, ...]]:
    """Yield the places of one stay: none told, each alone, each two, and all."""
    yield ("",)
    if operation.per is not Per.CAR and operation.positions:
        yield from combinations(operation.positions, 1)
        yield from combinations(operation.positions, 2)
        yield operation.positions


def test_each_title_that_can_be_proposed_is_there_in_spanish() -> None:
    titles = {
        title
        for operation in OPERATIONS.values()
        for places in choices(operation)
        for title in proposed(operation, places)
    }
    assert len(titles) > len(OPERATIONS)
    assert sorted(one for one in titles if title_in(one, WORDS) == one) == []


def test_each_usual_part_is_there_in_spanish() -> None:
    titles = {part.title for one in OPERATIONS.values() for part in one.parts}
    assert sorted(one for one in titles if title_in(one, WORDS) == one) == []


def test_a_part_stands_in_parentheses_and_has_none_itself() -> None:
    titles = {part.title for one in OPERATIONS.values() for part in one.parts}
    assert [one for one in sorted(titles) if "(" in WORDS[one]] == []


def test_two_operations_of_one_car_never_share_a_title_in_spanish() -> None:
    english = {one.title for one in OPERATIONS.values()}
    assert len({WORDS[one] for one in english}) == len(english)


def test_what_an_operation_does_is_the_same_verb_in_both_languages() -> None:
    verbs = {"Replace": "Cambiar ", "Aim": "Ajustar ", "Weld": "Soldar ", "Mend": "Reparar "}
    verbs |= {"Find": "Buscar ", "Refasten": "Volver a fijar ", "Read": "Leer "}
    for one in OPERATIONS.values():
        verb = one.title.partition(" ")[0]
        assert WORDS[one.title].startswith(verbs.get(verb, "")), one.code


def test_what_another_shop_does_and_what_is_new_is_said_in_spanish_too() -> None:
    for one in OPERATIONS.values():
        elsewhere = WORDS[one.title].endswith("en otro taller")
        assert one.title.endswith("outside") == elsewhere, one.code
    parts = {part.title for one in OPERATIONS.values() for part in one.parts}
    for state, said in (("used", "usad"), ("rebuilt", "reconstruid"), ("new", "nuev")):
        named = {one for one in parts if one.endswith(f", {state}")}
        assert {one for one in parts if f", {said}" in WORDS[one]} == named


@pytest.mark.parametrize(
    ("title", "said"),
    [
        ("Replace tire, rear right", "Cambiar llanta, atrás a la derecha"),
        ("Replace tire", "Cambiar llanta"),
        ("Weld the floor, outside", "Soldar el piso, en otro taller"),
        ("Replace tire, with one from the shelf", "Replace tire, with one from the shelf"),
        ("Left front caliper, front left", "Left front caliper, front left"),
        ("front left", "delante a la izquierda"),
        ("", ""),
    ],
)
def test_a_title_is_told_with_its_place_and_what_somebody_wrote_stays(
    title: str, said: str
) -> None:
    assert title_in(title, WORDS) == said


def test_without_words_a_title_stays_english() -> None:
    assert title_in("Replace tire, rear right", {}) == "Replace tire, rear right"
