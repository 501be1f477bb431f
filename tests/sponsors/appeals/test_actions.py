from __future__ import annotations

import datetime as dt
import re
from typing import TYPE_CHECKING, Any

import pytest
import time_machine
from django.core.exceptions import ValidationError

from shared.audit.models import Event
from shared.jobs.models import Job
from shared.links.actions import renew
from shared.links.queries import link_url
from shared.outbox.actions import SEND, opt_out
from shared.outbox.contact import MessageState
from shared.outbox.models import Message
from shared.outbox.sending import send
from sponsors.appeals.actions import approve_appeal, draft_appeals, drop_appeal
from sponsors.appeals.drafting import Ask
from sponsors.appeals.states import AppealState
from sponsors.matching.actions import reserve
from sponsors.models import Appeal, Gives, Sponsor
from sponsors.register.actions import give_portal_link, revoke_portal_link
from tests.factories.shared import TODAY, make_address, make_program, make_user
from tests.factories.sponsors import make_pledge, make_sponsor
from tests.factories.vehicles import make_need
from tests.sponsors.gates import make_gated, paid_for

if TYPE_CHECKING:
    from vehicles.models import Need

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_on_the_day")]


@pytest.fixture(autouse=True)
def _on_the_day() -> Any:
    with time_machine.travel(dt.datetime(2026, 11, 30, 15, tzinfo=dt.UTC), tick=True):
        yield


def giver(**fields: Any) -> Sponsor:
    sponsor = make_sponsor(**fields)
    Gives.objects.create(program=sponsor.program, sponsor=sponsor, system="cooling")
    return sponsor


def draft(*needs: Need, name: str = "2026-W49", frees: int = 1) -> list[Appeal]:
    asks = [Ask(need_id=need.pk, frees_cars=frees, need_weight=5) for need in needs]
    return draft_appeals(program=make_program(), asks=asks, round=name, today=TODAY)


def test_each_sponsor_whose_parts_are_asked_for_gets_one_draft() -> None:
    giver()
    giver()
    make_sponsor()
    need = make_need()
    drafts = draft(need)
    assert [appeal.state for appeal in drafts] == [AppealState.DRAFTED] * 2
    assert [line.need for appeal in drafts for line in appeal.lines.all()] == [need, need]
    assert Message.objects.count() == 0


def test_a_round_that_is_drafted_again_adds_nothing() -> None:
    giver()
    need = make_need()
    draft(need)
    assert (draft(need), Appeal.objects.count()) == ([], 1)


def test_a_newer_draft_takes_the_place_of_one_that_nobody_decided() -> None:
    giver()
    need = make_need()
    [old] = draft(need)
    [new] = draft(need, name="2026-W50")
    old.refresh_from_db()
    assert (old.state, new.state) == (AppealState.DROPPED, AppealState.DRAFTED)


def test_what_is_kept_closed_or_has_no_approved_text_is_not_asked_for() -> None:
    giver()
    kept, closed, silent = make_need(), make_need(state="filled"), make_need(approved_text="")
    reserve(supply=make_pledge().units.get(), need=kept, made_for="hand", because="Yes.", by=None)
    assert draft(kept, closed, silent) == []


def test_the_units_asked_for_are_those_that_still_lack() -> None:
    giver()
    need = make_need(quantity=3)
    reserve(supply=make_pledge().units.get(), need=need, made_for="hand", because="Yes.", by=None)
    [appeal] = draft(need)
    assert "1. Radiator, 2012 Toyota Corolla. Needed: 2. It would free a car." in appeal.text


def test_the_draft_holds_both_links_and_the_postal_address() -> None:
    sponsor = giver(contact_name="Ines Halloran")
    [appeal] = draft(make_need())
    sponsor.refresh_from_db()
    assert sponsor.link is not None
    assert sponsor.stop_link is not None
    for text in (
        "Hello Ines Halloran,",
        link_url(sponsor.link),
        link_url(sponsor.stop_link),
        "14 Osier Street, Bramwick, OH 43999",
    ):
        assert text in appeal.text


def test_a_sponsor_is_not_asked_more_often_than_the_program_allows() -> None:
    giver(last_asked_on=TODAY - dt.timedelta(days=27))
    own_rule = giver(last_asked_on=TODAY - dt.timedelta(days=27), ask_every_days=14)
    assert [appeal.sponsor for appeal in draft(make_need())] == [own_rule]


def test_who_stopped_mail_ended_or_has_no_mail_is_not_drafted_to() -> None:
    opt_out(giver().address)
    giver(ended_on=dt.date(2025, 1, 1))
    giver(address=make_address(channel="phone", email="", phone="555-0131"))
    assert draft(make_need()) == []


def test_an_approved_appeal_is_one_message_with_the_headers_of_one_click() -> None:
    """RFC 8058, section 3.1: both headers, one HTTPS address, the value as it stands here."""
    sponsor, user = giver(), make_user()
    [appeal] = draft(make_need())
    approve_appeal(appeal=appeal, by=user)
    appeal.refresh_from_db()
    sponsor.refresh_from_db()
    message = Message.objects.get()
    assert sponsor.stop_link is not None
    assert message.headers == {
        "List-Unsubscribe": f"<{link_url(sponsor.stop_link)}>",
        "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",
    }
    assert (message.key, message.text, message.subject) == (
        f"appeal:{appeal.pk}",
        appeal.text,
        appeal.subject,
    )
    assert (appeal.state, appeal.decided_by, appeal.message) == (
        AppealState.APPROVED,
        user,
        message,
    )
    assert sponsor.last_asked_on == TODAY
    assert [job.kind for job in Job.objects.all()] == [SEND]


def test_the_links_of_an_appeal_can_be_pressed_in_its_html() -> None:
    sponsor = giver()
    give_portal_link(sponsor=sponsor, by=None)
    [appeal] = draft(make_need())
    message = approve_appeal(appeal=appeal, by=make_user()).message
    sponsor.refresh_from_db()
    assert message is not None
    assert sponsor.link is not None
    assert sponsor.stop_link is not None
    found = re.findall(r'href="([^"]*)"', message.html)
    assert found == [link_url(sponsor.link), link_url(sponsor.stop_link)]


def test_approving_twice_sends_once() -> None:
    giver()
    [appeal] = draft(make_need())
    for _ in range(2):
        approve_appeal(appeal=appeal, by=make_user())
    assert (Message.objects.count(), Job.objects.count()) == (1, 1)
    assert Event.objects.filter(what="The appeal was approved.").count() == 1


def test_who_stops_the_mail_after_approval_gets_none() -> None:
    sponsor = giver()
    [appeal] = draft(make_need())
    approve_appeal(appeal=appeal, by=make_user())
    opt_out(sponsor.address)
    message = Message.objects.get()
    send({"message": message.pk}, message.program)
    message.refresh_from_db()
    assert (message.state, message.held_because) == (
        MessageState.HELD,
        "The person asked for no more mail.",
    )


def refused(appeal: Appeal) -> str:
    with pytest.raises(ValidationError) as refusal:
        approve_appeal(appeal=appeal, by=make_user())
    assert Message.objects.count() == 0
    [sentence] = refusal.value.messages
    return str(sentence)


def test_who_stopped_the_mail_since_is_not_asked() -> None:
    sponsor = giver()
    [appeal] = draft(make_need())
    opt_out(sponsor.address)
    assert refused(appeal) == "They asked for no more mail. Drop this appeal."


def test_who_was_asked_since_is_not_asked_again() -> None:
    sponsor = giver()
    [appeal] = draft(make_need())
    Sponsor.objects.filter(pk=sponsor.pk).update(last_asked_on=TODAY)
    assert refused(appeal) == "Asked on Nov 30; not again before Dec 28. Drop this appeal."


def test_a_mail_whose_private_page_was_closed_or_renewed_is_not_sent() -> None:
    sponsor = giver()
    [appeal] = draft(make_need())
    sponsor.refresh_from_db()
    revoke_portal_link(sponsor=sponsor, by=make_user())
    said = (
        "A private link in this mail was renewed or closed since it was drafted. Drop it; "
        "the next round has what is right."
    )
    assert refused(appeal) == said
    assert sponsor.link is not None
    renew(sponsor.link)
    assert refused(appeal) == said


def test_a_sponsor_whose_page_is_closed_is_asked_for_an_answer() -> None:
    sponsor = giver()
    draft(make_need())
    sponsor.refresh_from_db()
    revoke_portal_link(sponsor=sponsor, by=make_user())
    [appeal] = draft(make_need(), name="2026-W50")
    assert "Answer this mail or call 555-0100 to pledge a part." in appeal.text
    assert approve_appeal(appeal=appeal, by=make_user()).state == AppealState.APPROVED


def test_dropping_wants_a_reason_and_sends_nothing() -> None:
    giver()
    [appeal] = draft(make_need())
    with pytest.raises(ValidationError) as refusal:
        drop_appeal(appeal=appeal, reason=" ", by=make_user())
    assert refusal.value.message_dict == {"reason": ["Say why it is not sent."]}
    dropped = drop_appeal(appeal=appeal, reason="They moved.", by=make_user())
    assert (dropped.state, Message.objects.count()) == (AppealState.DROPPED, 0)
    assert Event.objects.get(what="The appeal was dropped.").reason == "They moved."


def test_what_was_dropped_is_not_approved_and_not_dropped_again() -> None:
    giver()
    [appeal] = draft(make_need())
    drop_appeal(appeal=appeal, reason="They moved.", by=make_user())
    assert refused(appeal) == "This appeal was dropped."
    with pytest.raises(ValidationError) as refusal:
        drop_appeal(appeal=appeal, reason="Again.", by=make_user())
    assert refusal.value.messages == ["This appeal was decided already."]


def test_a_draft_lists_the_first_six_in_their_order() -> None:
    giver()
    needs = [make_need() for _ in range(9)]
    [appeal] = draft(*needs)
    assert [line.position for line in appeal.lines.all()] == [1, 2, 3, 4, 5, 6]


def test_an_appeal_for_what_waits_behind_a_gate_since_is_refused() -> None:
    giver()
    gate, small = make_gated()
    aside = paid_for(gate)
    [appeal] = draft(small)
    aside.delete()
    with pytest.raises(ValidationError) as refused:
        approve_appeal(appeal=appeal, by=make_user())
    sentence = (
        "Something of its car comes before “Radiator”, which is not asked for until then. Drop this"
        " appeal; the next round has what is right."
    )
    assert refused.value.messages == [sentence]
    assert Message.objects.count() == 0
