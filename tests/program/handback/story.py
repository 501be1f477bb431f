"""A car with a dangerous tire, and everything that a case can hold: kept parts, money, a place."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from django.urls import reverse

from program.handback import actions
from program.handback.pdf import notice_paper
from program.handback.queries import findings_of
from program.handback.sheet import Returning, in_language, notice_of
from program.handback.wording import After
from program.ledger.actions import Event, SetAside, set_aside
from program.ledger.queries import free_cents, held
from program.models import Fund
from sponsors.models import Reservation
from tests.factories import (
    TODAY,
    make_finding,
    make_intake,
    make_item,
    make_need,
    make_pledge,
    make_program,
    make_reading,
    make_user,
)
from tests.program.ledger.booking import fund_with
from tests.program.status.making import make_approved_plan, make_told_case
from vehicles.custody.keeping import Leaving
from vehicles.custody.kinds import NoticeHow, TowAnswer

if TYPE_CHECKING:
    from program.models import Case
    from vehicles.models import Departure, Intake

NAME = [[[10, 90], [200, 20], [300, 150]], [[320, 80], [420, 60]]]


def make_held_case(**address: Any) -> Case:
    """Return a case with two kept parts, $60.00 set aside, a place in the plan, open findings."""
    case = make_told_case(**address)
    stay = stay_of(case)
    reading = make_reading(intake=stay, criterion="tire-tread", position="LF")
    make_finding(intake=stay, reading=reading, title="Tread depth, LF: 1/32 in of tread")
    make_finding(intake=stay, deficiency="minor", title="Plate lamp is out", system="lights")
    item = stay.items.get()
    need, two = item.needs.get(), make_need(item=item, title="Second radiator")
    units = list(make_pledge(quantity=2).units.all())
    for unit, one in zip(units, (need, two), strict=True):
        Reservation.objects.create(
            program=case.program, supply=unit, need=one, made_for="plan:1", because="It fits."
        )
    make_approved_plan(case)
    row = SetAside(fund=fund_with(10_000), case=case, item_id=item.pk, cents=6_000)
    event = Event(key="plan:1", on=TODAY, what="Set aside by plan 1")
    set_aside(program=make_program(), event=event, rows=[row], by=make_user())
    return case


def make_other_case() -> Reservation:
    """Return a unit kept for another car, which nothing here may touch."""
    need = make_need(item=make_item(intake=make_intake(), title="Radiator of another car"))
    return Reservation.objects.create(
        program=need.program,
        supply=make_pledge().units.get(),
        need=need,
        made_for="plan:1",
        because="It fits.",
    )


def stay_of(case: Case) -> Intake:
    assert case.vehicle
    return case.vehicle.intakes.get()


def returning(stay: Intake, language: str = "en", **fields: Any) -> Returning:
    """Return how the car goes: the notice read and signed, their own tow, the case to decide."""
    words = in_language(notice_of(stay, findings_of(stay)), language)
    own = {name: fields.pop(name) for name in ("version", "after", "interpreter") if name in fields}
    leaving: dict[str, Any] = {
        "on": stay.program.today(),
        "because": "The frame is rusted through.",
        "notice": NoticeHow.SIGNED,
        "taken_by": "Dana Haskell",
        "strokes": NAME,
        "tow_answer": TowAnswer.OWN,
        "keys_to": "Dana Haskell",
        "language": language,
        "content_hash": words.digest,
        "client_key": uuid4(),
    }
    defaults: dict[str, Any] = {"version": stay.version, "after": After.DECIDE}
    return Returning(leaving=Leaving(**leaving | fields), **defaults | own)


def send_back(case: Case, **fields: Any) -> Departure:
    stay = stay_of(case)
    how = fields.pop("returning", None) or returning(stay, **fields)
    return actions.return_unrepaired(intake=stay, returning=how, draw=notice_paper, by=make_user())


def free_money() -> dict[str, int]:
    """Return the free cents of each fund."""
    return free_cents(list(Fund.objects.all()), held(make_program()))


def page_of(case: Case, name: str = "return_car") -> str:
    return reverse(f"handback:{name}", args=[stay_of(case).pk])


def typed(case: Case, **fields: str) -> dict[str, str]:
    """Return what a person typed: signed on the screen, their own tow."""
    stay = stay_of(case)
    language = fields.get("language", "en")
    read = in_language(notice_of(stay, findings_of(stay)), language).digest
    return {
        "because": "The frame is rusted through.",
        "on": stay.program.today().isoformat(),
        "after": "decide",
        "taken_by": "Dana Haskell",
        "how": "screen",
        "strokes": json.dumps(NAME),
        "keys_to": "Dana Haskell",
        "tow_answer": "own",
        "kind": "flatbed",
        "language": language,
        "read": read,
        "version": str(stay.version),
        "client_key": str(uuid4()),
    } | fields
