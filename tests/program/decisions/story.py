"""A car whose estimate was authorized, and work that goes beyond it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from program.decisions import actions
from program.decisions.authorization import seen_key
from program.decisions.pdf import supplement_paper
from program.decisions.queries import works
from program.decisions.sheet import OwnerAnswer, in_language, more_of
from program.models import Fund
from shared.accounts.roles import RoleKind
from shared.policy.defaults import DEFAULTS
from tests.factories import (
    make_address,
    make_case,
    make_household,
    make_intake,
    make_item,
    make_need,
    make_user,
    make_vehicle,
)
from tests.program.ledger.booking import fund_with
from vehicles.custody.kinds import SignedHow
from vehicles.models import Photo
from vehicles.repairs.computing import make_estimate
from vehicles.repairs.costs import rates_of

if TYPE_CHECKING:
    from program.models import Authorization, Case, Supplement
    from shared.models import User
    from vehicles.models import Estimate, Intake, RepairItem

NAME = [[[10, 90], [200, 20], [300, 150]], [[320, 80], [420, 60]]]


def make_car(language: str = "en", **stay: Any) -> tuple[Case, Intake]:
    """Return a case in repair whose owner said yes to it: one item, a part of exactly $100.00."""
    address = make_address(language=language)
    vehicle = make_vehicle(step="repair")
    household = make_household(stage="being_served", address=address)
    case = make_case(household=household, vehicle=vehicle)
    intake = make_intake(vehicle=vehicle, **stay)
    add_work(intake, 10_000, title="Radiator")
    return case, intake


def add_work(stay: Intake, cents: int, *, title: str = "Front rotors") -> RepairItem:
    """Return an open item whose one part costs exactly so much, and whose labor costs nothing."""
    item = make_item(intake=stay, title=title, system="cooling")
    make_need(item=item, price_low_cents=None, price_cents=cents, price_high_cents=None)
    return item


def estimated(stay: Intake) -> Estimate:
    return make_estimate(intake=stay, given=(), rates=rates_of(stay.program), by=None)


def authorize(case: Case, stay: Intake, **fields: Any) -> Authorization:
    """Authorize the newest estimate by a coordinator, as its page sends it."""
    newest = fields.pop("newest", None) or estimated(stay)
    sent: dict[str, Any] = {
        "estimate": newest.number,
        "cents": newest.p80_cents,
        "client_key": uuid4(),
    }
    by = fields.pop("by", None) or make_user()
    return actions.authorize(case=case, intake=stay, by=by, **sent | fields)


def make_over(*, money: int = 50_000, **fields: Any) -> tuple[Case, Intake, RepairItem]:
    """Return a car with $100.00 authorized, and an item that takes it to $150.00.

    `money` are the cents of the general fund above what the board keeps back.
    """
    case, stay = make_car(**fields)
    if not Fund.objects.filter(program=stay.program, code="GEN").exists():
        fund_with(DEFAULTS["reserve_floor_cents"] + money)
    authorize(case, stay)
    return case, stay, add_work(stay, 5_000)


def make_photo(stay: Intake, **fields: Any) -> Photo:
    defaults: dict[str, Any] = {
        "program": stay.program,
        "about": "other",
        "name": f"{uuid4()}.jpg",
        "sha256": "0" * 64,
        "width": 320,
        "height": 240,
        "size": 1_000,
        "by": make_user(),
    }
    return Photo.objects.create(intake=stay, **defaults | fields)


def seen(stay: Intake) -> str:
    work = works([stay.pk])[stay.pk]
    return seen_key(work.forecast.total_cents, work.minutes)


def ask(stay: Intake, item: RepairItem, **fields: Any) -> Supplement:
    """Ask for an item as a technician does, with a photo of the car."""
    sent: dict[str, Any] = {
        "items": [item],
        "reason": "The rotors are cracked.",
        "photo": fields.get("photo") or make_photo(stay),
        "seen": seen(stay),
        "client_key": uuid4(),
        "by": fields.get("by") or make_user(RoleKind.TECHNICIAN),
    }
    return actions.ask_supplement(intake=stay, **sent | fields)


def make_supplement(*, money: int = 50_000, **fields: Any) -> Supplement:
    """Return a supplement of $50.00 that waits for both answers."""
    _, stay, item = make_over(money=money)
    return ask(stay, item, **fields)


def says(supplement: Supplement, language: str = "en", **fields: Any) -> OwnerAnswer:
    """Return the one owner's yes, drawn on the screen."""
    defaults: dict[str, Any] = {
        "yes": True,
        "version": supplement.version,
        "signed": list(supplement.authorization.intake.vehicle.owners.all()),
        "how": SignedHow.SCREEN,
        "strokes": NAME,
        "language": language,
        "read": in_language(more_of(supplement), language).digest,
    }
    return OwnerAnswer(**defaults | fields)


def owner_says(
    supplement: Supplement, *, by: User | None = None, language: str = "en", **fields: Any
) -> Supplement:
    return actions.answer_owner(
        supplement=supplement,
        answer=says(supplement, language, **fields),
        draw=supplement_paper,
        by=by or make_user(RoleKind.TECHNICIAN),
    )


def budget_says(supplement: Supplement, *, yes: bool = True, **fields: Any) -> Supplement:
    sent: dict[str, Any] = {"version": supplement.version, "by": fields.get("by") or make_user()}
    return actions.answer_budget(supplement=supplement, yes=yes, **sent | fields)


def typed(supplement: Supplement, **fields: str) -> dict[str, Any]:
    """Return what is typed for the owner's yes on the screen."""
    owner = supplement.authorization.intake.vehicle.owners.get()
    return {
        "yes": "yes",
        "signed": [str(owner.pk)],
        "how": "screen",
        "strokes": json.dumps(NAME),
        "language": "en",
        "read": in_language(more_of(supplement), "en").digest,
        "version": str(supplement.version),
    } | fields


def refusal(act: Any, *args: Any, **fields: Any) -> list[str]:
    """Return the sentences with which an action refuses."""
    with pytest.raises(ValidationError) as found:
        act(*args, **fields)
    return list(found.value.messages)
