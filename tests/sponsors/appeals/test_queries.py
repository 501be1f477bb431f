from __future__ import annotations

import pytest
from django.utils import timezone

from shared.outbox.models import Message
from sponsors.appeals.drafting import Ask, Charity, Giver
from sponsors.appeals.queries import (
    appeals_for,
    became,
    charity,
    drafted_in,
    giver,
    shut,
    sponsors_to_ask,
    wanted,
    with_lines,
)
from sponsors.models import Appeal, AppealLine, Gives
from tests.factories.shared import TODAY, make_address, make_program, make_user
from tests.factories.sponsors import make_sponsor
from tests.factories.vehicles import make_need
from tests.sponsors.gates import make_gated, paid_for

pytestmark = pytest.mark.django_db


def appeal(**fields: object) -> Appeal:
    sponsor = make_sponsor()
    usual = {"round": "2026-W48", "subject": "Radiator", "text": "Hello"}
    return Appeal.objects.create(program=sponsor.program, sponsor=sponsor, **usual | fields)


def test_a_sponsor_is_read_with_the_program_s_pause_unless_they_have_their_own() -> None:
    sponsor = make_sponsor(contact_name="Ines Halloran", last_asked_on=TODAY)
    Gives.objects.create(program=sponsor.program, sponsor=sponsor, system="cooling")
    [row] = sponsors_to_ask(sponsor.program)
    assert giver(row, 28) == Giver(
        id=sponsor.pk,
        name="Ines Halloran",
        gives=(("cooling", ""),),
        every_days=28,
        last_asked_on=TODAY,
    )
    row.ask_every_days = 91
    assert giver(row, 28).every_days == 91


@pytest.mark.parametrize(
    ("address", "opted_out", "has_mail"),
    [
        ({"barred": True}, True, True),
        ({"opted_out_at": timezone.now()}, True, True),
        ({"channel": "phone"}, False, False),
        ({"email": ""}, False, False),
    ],
)
def test_an_address_says_whether_it_may_be_written_to(
    address: dict[str, object], *, opted_out: bool, has_mail: bool
) -> None:
    found = giver(make_sponsor(address=make_address(**address)), 28)
    assert (found.opted_out, found.has_mail) == (opted_out, has_mail)


def test_who_asks_is_the_program() -> None:
    assert charity(make_program()) == Charity(
        name="Osier Street Garage",
        town="Bramwick",
        postal_address="14 Osier Street, Bramwick, OH 43999",
        phone="555-0100",
    )


def test_what_is_asked_for_keeps_the_figures_of_the_plan() -> None:
    need = make_need(quantity=2)
    [line] = wanted(need.program, [Ask(need_id=need.pk, frees_cars=2, need_weight=9)])
    assert (line.need.id, line.units, line.frees_cars, line.need_weight) == (need.pk, 2, 2, 9)
    assert wanted(make_program(name="Another garage"), [Ask(need_id=need.pk)]) == []


def test_nothing_behind_a_gate_is_asked_for_until_the_gate_is_paid_for() -> None:
    gate, small = make_gated()
    asks = [Ask(need_id=gate.pk), Ask(need_id=small.pk)]
    assert [line.need.id for line in wanted(gate.program, asks)] == [gate.pk]
    mail = appeal()
    for position, need in enumerate((gate, small), start=1):
        AppealLine.objects.create(program=mail.program, appeal=mail, need=need, position=position)
    assert shut(mail) == ["Radiator"]
    paid_for(gate)
    assert [line.need.id for line in wanted(gate.program, asks)] == [gate.pk, small.pk]
    assert shut(mail) == []


def test_a_round_names_who_has_an_appeal_in_it() -> None:
    mail = appeal()
    assert drafted_in(mail.program, "2026-W48") == {mail.sponsor_id}
    assert drafted_in(mail.program, "2026-W49") == set()


def test_an_appeal_says_where_it_stands_and_then_where_its_mail_stands() -> None:
    mail = appeal()
    assert became(mail) == "needs a decision"
    mail.message = Message(state="held")
    assert became(mail) == "held back"


def test_appeals_come_with_what_they_ask_for() -> None:
    mail, need = appeal(), make_need()
    AppealLine.objects.create(program=mail.program, appeal=mail, need=need, position=1)
    [row] = with_lines(appeals_for(make_user()))
    assert [line.need for line in row.lines.all()] == [need]
