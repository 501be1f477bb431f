from __future__ import annotations

import pytest

from sponsors.appeals.queries import appeals_for
from sponsors.appeals.tables import AppealTable
from sponsors.models import Appeal
from tests.factories.shared import make_user
from tests.factories.sponsors import make_sponsor


@pytest.mark.django_db
def test_a_draft_needs_a_decision() -> None:
    sponsor = make_sponsor()
    Appeal.objects.create(
        program=sponsor.program, sponsor=sponsor, round="2026-W48", subject="Radiator", text="Hello"
    )
    [row] = AppealTable(appeals_for(make_user())).rows
    assert row.get_cell("state") == "needs a decision"
