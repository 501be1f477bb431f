from __future__ import annotations

import datetime as dt

import pytest

from program.households.actions import declare_tie, end_tie
from program.households.queries import withheld_addresses
from shared.outbox.models import Message
from shared.outbox.queries import messages_for
from tests.factories import make_household, make_user

pytestmark = pytest.mark.django_db


def test_mail_to_a_household_is_withheld_from_whom_a_tie_keeps_away() -> None:
    home, user, other = make_household(), make_user(), make_user()
    words = {"kind": "status", "tells": "progress", "subject": "News", "text": "It is ready."}
    Message.objects.create(program=home.program, key="status:1", address=home.address, **words)
    tie = declare_tie(household=home, user=user, by=other)
    assert list(withheld_addresses(user)) == [home.address]
    assert (messages_for(user).count(), messages_for(other).count()) == (0, 1)
    end_tie(tie=tie, on=dt.date(2026, 11, 30), reason="Moved away.", by=other)
    assert messages_for(user).count() == 1
