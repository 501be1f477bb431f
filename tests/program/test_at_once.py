"""Two people at the same moment: one is served, the other reads a sentence."""

from __future__ import annotations

from functools import partial
from uuid import uuid4

import pytest

from program.ledger.actions import Line, book
from program.ledger.queries import free_cents, held
from program.models import Commitment, Pin, Plan, PlannedCase
from program.planning.actions import approve_plan, give_up_place, pin_case, unpin_case
from program.planning.jobs import input_of
from shared.accounts.roles import RoleKind
from sponsors.matching.actions import reserve
from sponsors.models import Pledge, Reservation
from sponsors.pledges.actions import record_pledge
from sponsors.register.actions import give_portal_link
from tests.at_once import at_once
from tests.factories import (
    TODAY,
    make_intake,
    make_item,
    make_need,
    make_pledge,
    make_program,
    make_sponsor,
    make_user,
)
from tests.program.planning.weeks import computed, make_money, make_ready, make_shop, make_work
from vehicles.inspection.actions import record_reading
from vehicles.inspection.reading import Typed
from vehicles.models import Finding, Prerequisite, Reading
from vehicles.repairs.actions import require_first
from vehicles.repairs.queries import open_need

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_plan_is_approved_once() -> None:
    make_shop()
    make_work(make_ready())
    fund = make_money(50_000)
    plan = computed()
    now, users = input_of(plan), [make_user(), make_user()]
    calls = [partial(approve_plan, plan=plan, now=now, by=user) for user in users]
    assert at_once(*calls) == ["Plan 1 is approved; only a ready plan is approved."]
    set_aside = sum(row.cents for row in Commitment.objects.all())
    assert free_cents([fund], held(make_program()))["GEN"] == 50_000 - set_aside
    assert PlannedCase.objects.count() == 1


def test_pins_and_places_change_at_once_and_nobody_waits_for_the_other() -> None:
    cases, user = [make_ready("26-041"), make_ready("26-043")], make_user()
    pin = partial(pin_case, direction="in", reason="A job starts.", by=user)
    assert at_once(*[partial(pin, case=case) for case in cases]) == []
    assert Pin.objects.filter(ended_at=None).count() == 2
    again = partial(pin_case, direction="out", reason="Away.", by=user)
    calls = [
        partial(act, case=case, by=user) for act in (unpin_case, give_up_place) for case in cases
    ]
    assert at_once(*calls, *[partial(again, case=case) for case in cases]) == []
    assert Plan.objects.count() == 1


def test_a_unit_is_kept_once() -> None:
    unit, user = make_pledge().units.get(), make_user()
    needs = [make_need(), make_need()]
    keep = partial(reserve, supply=unit, made_for="person", because="By hand.", by=user)
    assert at_once(*[partial(keep, need=need) for need in needs]) == [
        "This unit is kept for another need already."
    ]
    assert Reservation.objects.count() == 1


def test_a_point_is_read_once() -> None:
    users = [make_user(RoleKind.TECHNICIAN), make_user(RoleKind.TECHNICIAN)]
    stay = make_intake()
    typed = Typed(criterion="tire-tread", position="LF", value="1/32")
    calls = [partial(record_reading, intake=stay, typed=typed, by=user) for user in users]
    (sentence,) = at_once(*calls)
    assert sentence.endswith("Nothing of yours is lost: look, then record again.")
    assert (Reading.objects.count(), Finding.objects.count()) == (1, 1)


def test_a_reading_that_is_sent_twice_with_one_key_is_one() -> None:
    stay, user = make_intake(), make_user(RoleKind.TECHNICIAN)
    typed = Typed(criterion="tire-tread", position="LF", value="1/32", client_key=uuid4())
    assert at_once(*[partial(record_reading, intake=stay, typed=typed, by=user)] * 2) == []
    assert Reading.objects.count() == 1


def test_a_dollar_is_spent_once() -> None:
    fund, user = make_money(10_000), make_user()
    line = Line(debit="6010", credit="1010", cents=6_000, fund=fund)
    pay = partial(book, lines=[line], on=TODAY, what="Front pads", fact=False, by=user)
    assert at_once(partial(pay, key=uuid4()), partial(pay, key=uuid4())) == [
        "The general fund has $40.00 free. This needs $60.00: $20.00 more."
    ]
    assert free_cents([fund], held(make_program()))["GEN"] == 4_000


def test_two_orders_never_close_a_circle() -> None:
    one, user = make_item(title="Tie rod end"), make_user()
    two = make_item(title="Alignment", intake=one.intake)
    calls = [
        partial(require_first, item=one, first=two, by=user),
        partial(require_first, item=two, first=one, by=user),
    ]
    (sentence,) = at_once(*calls)
    assert "needs itself, by way of" in sentence
    assert Prerequisite.objects.count() == 1


def test_a_pledge_that_is_sent_twice_is_one() -> None:
    sponsor, need = make_sponsor(), make_need()
    shown = open_need(need)
    pledge = partial(
        record_pledge,
        sponsor=sponsor,
        part=shown.part,
        title=shown.title,
        quantity=2,
        expires_on=None,
        client_key=uuid4(),
    )
    assert at_once(pledge, pledge) == []
    assert [row.units.count() for row in Pledge.objects.all()] == [2]


def test_a_sponsor_has_one_private_page() -> None:
    sponsor, user = make_sponsor(link=None), make_user()
    assert at_once(*[partial(give_portal_link, sponsor=sponsor, by=user)] * 2) == []
    sponsor.refresh_from_db()
    assert sponsor.link is not None
    assert sponsor.link.version == 1
