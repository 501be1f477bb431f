from __future__ import annotations

from shared.accounts.roles import OFFICE, SHOP, STAFF, RoleKind


def test_a_role_reads_as_words() -> None:
    assert RoleKind.LEAD_TECHNICIAN.label == "Lead technician"


def test_sponsors_are_never_staff() -> None:
    assert frozenset(RoleKind) - STAFF == {RoleKind.SPONSOR}
    assert [OFFICE <= STAFF, SHOP <= STAFF] == [True, True]
