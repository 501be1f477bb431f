from __future__ import annotations

from vehicles.custody.acts import Act


def test_an_act_is_named_as_a_consent_form_names_it() -> None:
    assert [act.label for act in Act] == ["Diagnose", "Repair", "Road test", "Store"]
