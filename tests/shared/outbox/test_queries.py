from __future__ import annotations

import pytest

from shared.outbox.models import Message
from shared.outbox.queries import messages_for
from tests.factories import make_address, make_program, make_user

pytestmark = pytest.mark.django_db


def test_a_person_sees_the_mail_of_the_own_program_newest_first() -> None:
    here, elsewhere = make_program(name="Here"), make_program(name="Elsewhere")
    for program, key in [(here, "one"), (elsewhere, "theirs"), (here, "two")]:
        address = make_address(program=program)
        words = {"kind": "status", "tells": "progress", "subject": key, "text": key}
        Message.objects.create(program=program, key=key, address=address, **words)
    assert [str(row) for row in messages_for(make_user(program=here))] == ["two", "one"]
