"""What an owner consents to."""

from __future__ import annotations

from vehicles.custody.acts import Act, OwnerKind


def test_an_act_is_named_in_words() -> None:
    assert [act.label for act in Act] == ["Diagnose", "Repair", "Road test", "Store"]


def test_three_kinds_of_paper_name_a_person() -> None:
    assert list(OwnerKind) == ["title", "registration", "lienholder"]
