from __future__ import annotations

import pytest

from vehicles.shop.systems import System


def test_a_system_is_read_however_it_is_typed() -> None:
    assert System.parse("  Brakes ") is System.BRAKES


def test_an_unknown_system_is_refused_with_the_list() -> None:
    with pytest.raises(ValueError, match="is not a system") as refused:
        System.parse("brake")
    assert str(refused.value) == f"“brake” is not a system. Use one of: {', '.join(System)}."


def test_each_system_has_a_name_of_its_own() -> None:
    labels = [system.label for system in System]
    assert len(set(labels)) == len(labels)
    assert System.RESTRAINT.label == "Belts and airbags"
