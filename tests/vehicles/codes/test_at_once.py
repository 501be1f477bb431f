"""Two technicians at the same moment at the codes of one car."""

from __future__ import annotations

from functools import partial
from uuid import uuid4

import pytest

from shared.accounts.roles import RoleKind
from tests.at_once import at_once
from tests.factories import make_intake, make_scan, make_user
from vehicles.codes.actions import record_clearing, record_scan, withdraw_scan
from vehicles.codes.kinds import Lamp
from vehicles.codes.values import CodesRead
from vehicles.models import CodeScan, TroubleCode

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_list_that_is_sent_twice_with_one_key_is_one() -> None:
    stay, by = make_intake(), make_user(RoleKind.TECHNICIAN)
    typed = CodesRead(pasted="P0301", lamp=Lamp.OFF)
    send = partial(record_scan, intake=stay, read=typed, client_key=uuid4(), by=by)
    assert at_once(send, send) == []
    assert (CodeScan.objects.count(), TroubleCode.objects.count()) == (1, 1)


def test_a_reading_is_cleared_or_withdrawn_and_never_cleared_after() -> None:
    scan, by = make_scan(make_intake(), "P0301"), make_user(RoleKind.TECHNICIAN)
    refused = at_once(
        partial(record_clearing, scan=scan, by=by),
        partial(withdraw_scan, scan=scan, because="Another car.", by=by),
    )
    scan.refresh_from_db()
    newer = "This reading is not the newest. Record the clearing beside what was read last."
    assert (scan.withdrawn_because, refused) == (
        "Another car.",
        [] if scan.cleared_at else [newer],
    )
