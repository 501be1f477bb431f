from __future__ import annotations

import pytest

from shared.outbox.actions import opt_out
from sponsors.models import Gives
from sponsors.register.queries import sponsors_for
from sponsors.register.tables import SponsorTable
from tests.factories.shared import make_address, make_user
from tests.factories.sponsors import make_sponsor

pytestmark = pytest.mark.django_db


def test_a_sponsor_without_gifts_has_a_dash_and_mail_says_whether_it_may_go() -> None:
    stopped = make_sponsor(name="A")
    opt_out(stopped.address)
    giver = make_sponsor(name="B")
    Gives.objects.create(program=giver.program, sponsor=giver, system="cooling")
    make_sponsor(name="C", address=make_address(email="", channel="phone"))
    rows = SponsorTable(sponsors_for(make_user())).rows
    assert [(row.get_cell("gives"), row.get_cell("mail")) for row in rows] == [
        ("–", "stopped"),
        ("Cooling", "allowed"),
        ("–", "none: call"),
    ]


def test_the_sheet_says_in_words_what_is_given() -> None:
    giver = make_sponsor()
    Gives.objects.create(program=giver.program, sponsor=giver, system="cooling")
    _, row = SponsorTable(sponsors_for(make_user())).as_values()
    assert row[:2] == [giver.name, "Cooling"]
