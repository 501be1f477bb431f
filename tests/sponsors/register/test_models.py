from __future__ import annotations

import datetime as dt

import pytest

from sponsors.models import Gives, Sponsor
from tests.factories.shared import make_address, make_program, make_user
from tests.factories.sponsors import make_contact, make_sponsor
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def sponsor(**fields: object) -> Sponsor:
    usual = {"name": "Crane Street Auto Parts", "since_on": dt.date(2024, 1, 1)}
    return Sponsor(program=make_program(), address=make_address(), **usual | fields)


def test_a_name_is_taken_once() -> None:
    sponsor().save()
    sentence = "There is a sponsor of this name already."
    assert_refused(sponsor(), "sponsor_name_once", sentence)


def test_a_sponsor_does_not_end_before_they_began() -> None:
    row = sponsor(ended_on=dt.date(2023, 12, 31))
    sentence = "A sponsor can't end before the day they began."
    assert_refused(row, "sponsor_dates_in_order", sentence)


def test_what_is_given_is_of_a_system_that_there_is() -> None:
    giver = make_sponsor()
    row = Gives(program=giver.program, sponsor=giver, system="sails")
    assert_refused(row, "gives_system_known", "This system is not known to the program.")


def test_what_is_given_is_listed_once() -> None:
    giver = make_sponsor()
    fields = {"program": giver.program, "sponsor": giver, "system": "battery"}
    Gives.objects.create(**fields)
    assert_refused(Gives(**fields), "gives_once", "This is on the sponsor's list already.")


def test_sponsors_are_found_by_program_by_contact_and_while_they_give() -> None:
    contact = make_contact()
    ended = make_sponsor(ended_on=dt.date(2025, 1, 1))
    make_sponsor(program=make_program(name="Another garage"))
    user = make_user()
    assert set(Sponsor.objects.for_user(user)) == {contact.sponsor, ended}
    assert list(Sponsor.objects.of_contact(contact.user)) == [contact.sponsor]
    assert list(Sponsor.objects.for_user(user).active()) == [contact.sponsor]
    assert str(contact) == f"{contact.user} for {contact.sponsor}"
