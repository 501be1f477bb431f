"""What two versions of an estimate say of each other."""

from __future__ import annotations

from vehicles.estimates.changes import Told, changes

LINES = {1: ("Radiator", 120_00)}


def test_two_versions_alike_have_no_difference() -> None:
    told = Told(lines=LINES, p80_cents=160_00)
    assert changes(told, told) == ()


def test_only_the_whole_may_have_changed() -> None:
    """Tax that the board sets moves no line."""
    before, after = (Told(lines=LINES, p80_cents=cents) for cents in (160_00, 170_00))
    assert [str(one) for one in changes(before, after)] == [
        "Eight in ten such cars cost at most $170.00 now, $160.00 before."
    ]


def test_a_first_job_is_new_and_a_last_one_is_gone() -> None:
    none, some = Told(lines={}, p80_cents=0), Told(lines=LINES, p80_cents=0)
    assert [str(one) for one in changes(none, some)] == ["Radiator is new, likely $120.00."]
    assert [str(one) for one in changes(some, none)] == [
        "Radiator is no longer in it; it was likely $120.00."
    ]
