"""Where a supplement stands."""

from __future__ import annotations

from program.decisions.states import SupplementState


def test_only_what_was_asked_for_still_waits_for_an_answer() -> None:
    assert {state.value: state.is_open for state in SupplementState} == {
        "asked": True,
        "agreed": False,
        "declined": False,
        "withdrawn": False,
    }
