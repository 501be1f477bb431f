from __future__ import annotations

import pytest

from shared.audit.actions import log_event
from tests.factories import make_address, make_program, make_user

pytestmark = pytest.mark.django_db


def test_a_line_names_what_it_is_about_by_kind_and_id() -> None:
    address, user = make_address(), make_user()
    line = log_event(address, "Changed the hours.", by=user, reason="By phone.", fields=["hours"])
    assert (line.kind, line.object_id, line.program) == ("address", address.pk, address.program)
    assert (line.what, line.reason, line.fields, line.by) == (
        "Changed the hours.",
        "By phone.",
        ["hours"],
        user,
    )
    assert str(line) == "Changed the hours."


def test_a_line_about_the_program_is_its_own() -> None:
    program = make_program()
    assert log_event(program, "Set up.", by=None).program == program
