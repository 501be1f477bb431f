"""Kinds of equipment. How often each is inspected is said in the module, with its sources."""

from __future__ import annotations

from vehicles.shop.kinds import EquipmentKind


def test_each_kind_has_its_word() -> None:
    labels = [kind.label for kind in EquipmentKind]
    assert len(set(labels)) == len(labels)
    assert labels[0] == "Lift"


def test_jacks_and_gloves_are_inspected_twice_a_year_and_the_rest_yearly() -> None:
    """Jacks: 29 CFR 1910.244(a)(2)(vi), every six months at least (text seen).

    Lifts yearly: ANSI/ALI ALOIM (second hand). Gloves: 29 CFR 1910.137 (from memory).
    """
    twice = {kind for kind in EquipmentKind if kind.interval_months == 6}
    assert twice == {EquipmentKind.JACK, EquipmentKind.GLOVES}
    assert {kind.interval_months for kind in set(EquipmentKind) - twice} == {12}
