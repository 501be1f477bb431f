from __future__ import annotations

import pytest

from shared.outbox.actions import opt_out
from sponsors.models import Gives, Sponsor
from sponsors.register.filters import SponsorFilter
from tests.factories.sponsors import make_sponsor

pytestmark = pytest.mark.django_db


def found(**asked: str) -> list[Sponsor]:
    return list(SponsorFilter(asked, queryset=Sponsor.objects.order_by("pk")).qs)


def test_sponsors_are_found_by_what_they_give_each_once() -> None:
    giver = make_sponsor()
    make_sponsor()
    for kind in ("radiator", "thermostat"):
        Gives.objects.create(program=giver.program, sponsor=giver, system="cooling", part_kind=kind)
    assert found(gives="cooling") == [giver]
    assert found(gives="tires") == []


def test_sponsors_are_found_by_whether_mail_was_stopped() -> None:
    stopped, allowed = make_sponsor(), make_sponsor()
    opt_out(stopped.address)
    assert (found(mail="stopped"), found(mail="allowed")) == ([stopped], [allowed])
