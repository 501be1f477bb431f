from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shared.audit.models import Event
from shared.links.queries import find, link_token
from shared.outbox.actions import opt_out
from shared.outbox.contact import Channel, MaySay
from sponsors.models import Sponsor
from sponsors.register.actions import (
    add_sponsor,
    allow_mail,
    edit_sponsor,
    give_portal_link,
    portal_link,
    revoke_portal_link,
    set_preferences,
    stop_link,
)
from tests.factories.shared import make_program, make_user
from tests.factories.sponsors import make_sponsor

if TYPE_CHECKING:
    from shared.links.models import AccessLink

pytestmark = pytest.mark.django_db

FORM: dict[str, Any] = {
    "name": "Crane Street Auto Parts",
    "town": "Bramwick",
    "contact_name": "Ines Halloran",
    "email": "ines@crane-street.example",
    "phone": "",
    "language": "en",
    "gives": ["cooling", "battery/battery"],
    "ask_every_days": 30,
}


def add(**changes: Any) -> Sponsor:
    return add_sponsor(program=make_program(), by=make_user(), **FORM | changes)


def edit(sponsor: Sponsor, **changes: Any) -> Sponsor:
    usual = FORM | {"version": sponsor.version}
    return edit_sponsor(sponsor=sponsor, by=make_user(), **usual | changes)


def given(sponsor: Sponsor) -> list[tuple[str, str]]:
    return sorted(sponsor.gives.values_list("system", "part_kind"))


def opens(link: AccessLink) -> bool:
    return find(link_token(link), link.purpose) is not None  # type: ignore[arg-type]


def test_a_sponsor_is_added_with_what_they_give() -> None:
    sponsor = add()
    assert given(sponsor) == [("battery", "battery"), ("cooling", "")]
    address = sponsor.address
    assert (address.channel, address.email, address.says) == (
        Channel.EMAIL,
        "ines@crane-street.example",
        MaySay.PROGRESS,
    )
    assert sponsor.since_on == make_program().today()


def test_a_sponsor_without_mail_is_reached_by_phone() -> None:
    assert add(email="", phone="555-0131").address.channel == Channel.PHONE


def test_a_name_is_taken_once() -> None:
    add()
    with pytest.raises(ValidationError) as refusal:
        add()
    assert refusal.value.messages == ["There is a sponsor of this name already."]
    assert Sponsor.objects.count() == 1


def test_a_system_that_there_is_not_is_refused() -> None:
    with pytest.raises(ValidationError) as refusal:
        add(gives=["sails"])
    assert "system" in refusal.value.message_dict


def test_a_change_takes_the_place_of_what_was_there() -> None:
    sponsor = edit(
        add(), name="Crane Street Parts", gives=["cooling", "tires"], email="a@b.example"
    )
    assert (sponsor.name, sponsor.address.email, sponsor.version) == (
        "Crane Street Parts",
        "a@b.example",
        2,
    )
    assert given(sponsor) == [("cooling", ""), ("tires", "")]


def test_what_somebody_else_changed_meanwhile_is_not_overwritten() -> None:
    sponsor = add()
    edit(sponsor, town="Elsewhere")
    with pytest.raises(ValidationError) as refusal:
        edit(sponsor, town="Nowhere")
    assert refusal.value.messages == ["Somebody else changed this sponsor. Open the page again."]
    sponsor.refresh_from_db()
    assert sponsor.town == "Elsewhere"


def test_the_private_page_keeps_its_address() -> None:
    sponsor, user = make_sponsor(), make_user()
    first = give_portal_link(sponsor=sponsor, by=user)
    assert give_portal_link(sponsor=sponsor, by=user) == first
    assert opens(first)


def test_a_private_page_that_was_closed_opens_again_at_a_new_address() -> None:
    sponsor, user = make_sponsor(), make_user()
    first = give_portal_link(sponsor=sponsor, by=user)
    old = link_token(first)
    sponsor.refresh_from_db()
    revoke_portal_link(sponsor=sponsor, by=user)
    assert find(old, first.purpose) is None  # type: ignore[arg-type]
    again = give_portal_link(sponsor=sponsor, by=user)
    assert (again.pk, link_token(again) == old, opens(again)) == (first.pk, False, True)
    assert find(old, first.purpose) is None  # type: ignore[arg-type]


def test_a_mail_names_no_page_that_was_closed() -> None:
    sponsor = make_sponsor()
    assert portal_link(sponsor) is not None
    revoke_portal_link(sponsor=sponsor, by=make_user())
    sponsor.refresh_from_db()
    assert portal_link(sponsor) is None


def test_the_link_that_stops_mail_is_made_once() -> None:
    sponsor = make_sponsor()
    assert stop_link(sponsor) == stop_link(Sponsor.objects.get())


def test_preferences_are_written_with_a_line_in_the_log() -> None:
    sponsor = set_preferences(sponsor=make_sponsor(), language="es", ask_every_days=91, by=None)
    sponsor.refresh_from_db()
    assert (sponsor.address.language, sponsor.ask_every_days) == ("es", 91)
    [line] = Event.objects.filter(kind="sponsor", object_id=sponsor.pk)
    assert line.what == "The preferences were changed."


@pytest.mark.parametrize("days", [0, -5, 3651])
def test_a_pause_that_is_not_possible_is_refused(days: int) -> None:
    with pytest.raises(ValidationError) as refusal:
        set_preferences(sponsor=make_sponsor(), language="en", ask_every_days=days, by=None)
    assert refusal.value.message_dict == {"ask_every_days": [f"{days} days is not possible."]}


def test_mail_that_was_stopped_can_be_wanted_again() -> None:
    sponsor = make_sponsor()
    opt_out(sponsor.address)
    assert allow_mail(sponsor=sponsor, by=None).address.opted_out_at is None
    assert Event.objects.filter(what="Asked for mail again.").count() == 1
    allow_mail(sponsor=sponsor, by=None)
    assert Event.objects.filter(what="Asked for mail again.").count() == 1
    assert sponsor.since_on <= timezone.now().date()


def test_closing_a_page_that_is_closed_changes_nothing() -> None:
    sponsor, user = make_sponsor(), make_user()
    assert revoke_portal_link(sponsor=sponsor, by=user).link is None
    give_portal_link(sponsor=sponsor, by=user)
    sponsor.refresh_from_db()
    revoke_portal_link(sponsor=sponsor, by=user)
    count = Event.objects.count()
    revoke_portal_link(sponsor=sponsor, by=user)
    assert Event.objects.count() == count
