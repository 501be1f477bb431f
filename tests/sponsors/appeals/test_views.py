from __future__ import annotations

import pytest
from django.urls import reverse

from shared.outbox.actions import opt_out
from shared.outbox.models import Message
from sponsors.appeals.actions import draft_appeals
from sponsors.appeals.drafting import Ask
from sponsors.appeals.states import AppealState
from sponsors.models import Appeal, Gives
from tests.factories.shared import TODAY
from tests.factories.sponsors import make_sponsor
from tests.factories.vehicles import make_need
from tests.sponsors.looking import client_of

pytestmark = pytest.mark.django_db


def drafted() -> Appeal:
    sponsor = make_sponsor()
    Gives.objects.create(program=sponsor.program, sponsor=sponsor, system="cooling")
    asks = [Ask(need_id=make_need().pk, frees_cars=1)]
    [appeal] = draft_appeals(program=sponsor.program, asks=asks, round="2026-W48", today=TODAY)
    return appeal


def test_a_mail_is_read_whole_before_it_is_approved() -> None:
    appeal = drafted()
    html = client_of().get(reverse("appeals:appeal_page", args=[appeal.pk])).content.decode()
    for line in ("Stop these mails, without a password:", "14 Osier Street, Bramwick, OH 43999"):
        assert line in html
    assert html.count('class="btn main"') == 1
    assert Message.objects.count() == 0


def test_approving_writes_the_mail() -> None:
    appeal = drafted()
    url = reverse("appeals:appeal_page", args=[appeal.pk])
    client = client_of()
    assert client.post(url)["Location"] == url
    appeal.refresh_from_db()
    assert (appeal.state, Message.objects.count()) == (AppealState.APPROVED, 1)
    assert "approved, waits to be sent" in client.get(url).content.decode()


def test_an_appeal_that_may_not_be_sent_says_why() -> None:
    appeal = drafted()
    opt_out(appeal.sponsor.address)
    answer = client_of().post(reverse("appeals:appeal_page", args=[appeal.pk]))
    said = "They asked for no more mail. Drop this appeal."
    assert (answer.status_code, answer.context["form"].non_field_errors()) == (422, [said])


def test_dropping_wants_a_reason() -> None:
    appeal = drafted()
    url = reverse("appeals:appeal_drop", args=[appeal.pk])
    client = client_of()
    assert client.post(url, {"reason": ""}).status_code == 422
    assert client.post(url, {"reason": "They moved."})["Location"] == reverse("appeals:appeal_list")
    appeal.refresh_from_db()
    assert appeal.state == AppealState.DROPPED


def test_the_list_counts_what_needs_a_decision() -> None:
    drafted()
    answer = client_of().get(reverse("appeals:appeal_list"), {"state": "dropped"})
    assert (answer.context["undecided"], len(answer.context["table"].rows)) == (1, 0)
