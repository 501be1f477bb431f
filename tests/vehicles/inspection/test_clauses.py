"""Conditions on a car, as a cell of the catalogue writes them."""

from __future__ import annotations

import pytest

from vehicles.inspection.clauses import parse
from vehicles.intake.car import Brake, CarFacts, Fuel


@pytest.mark.parametrize(
    ("clause", "facts", "holds"),
    [
        ("year >= 1968", {"year": 1968}, True),
        ("year >= 1968", {"year": 1967}, False),
        ("year <= 2000", {"year": 2001}, False),
        ("year = 2000", {"year": 2000}, True),
        ("rear = drum", {"rear_brakes": Brake.DRUM}, True),
        ("rear = drum", {"rear_brakes": Brake.DISC}, False),
        ("front = disc", {"front_brakes": Brake.DRUM}, False),
        ("fuel = hybrid plug_in electric", {"fuel": Fuel.PLUG_IN}, True),
        ("fuel = hybrid plug_in electric", {"fuel": Fuel.DIESEL}, False),
        ("power_brakes = no", {"power_brakes": False}, True),
        ("power_brakes = yes", {"power_brakes": False}, False),
    ],
)
def test_a_clause_holds_of_the_facts_it_names(
    clause: str, facts: dict[str, object], *, holds: bool
) -> None:
    (parsed,) = parse(clause)
    assert parsed.holds(CarFacts(**facts)) is holds  # type: ignore[arg-type]
    assert parsed.holds(CarFacts())


@pytest.mark.parametrize(
    "text",
    [
        "year",
        "year >=",
        "year >= 68",
        "year >= soon",
        "year > 1968",
        "year >= 1968 1970",
        "rear = drums",
        "rear >= drum",
        "rear =",
        "doors = 4",
        ": rear = drum",
        "LR RR rear = drum",
    ],
)
def test_a_clause_of_another_form_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"is not a condition\.") as caught:
        parse(text)
    assert str(caught.value) == (
        f"“{text}” is not a condition. Write it as “year >= 1968”, “rear = drum”, "
        "“fuel = hybrid electric” or “LR RR: rear = drum”."
    )


def test_clauses_are_read_as_they_are_written() -> None:
    text = "LF RF: front = disc; LR RR: rear = disc; fuel = hybrid plug_in; year >= 1968"
    assert "; ".join(str(clause) for clause in parse(text)) == text
    assert parse(" ; ") == ()
