"""Cars of the demonstration whose estimates are authorized, and one that takes more."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import uuid4

from program.decisions.actions import ask_supplement, authorize
from program.decisions.authorization import seen_key
from program.decisions.queries import against_repair, cases_for, works
from program.models import Supplement
from tests.factories import make_item, make_need
from tests.journeys.looked_into import each
from tests.vehicles.intake.shots import kept
from vehicles.models import Intake
from vehicles.repairs.computing import make_estimate
from vehicles.repairs.costs import rates_of
from vehicles.repairs.queries import given_of

if TYPE_CHECKING:
    from shared.models import User
    from tests.journeys.looked_into import Rows

NUMBER = "26-041"


def decide(by: User, asker: User) -> None:
    """Authorize each car whose owner said yes, and ask for more on one of them."""
    for case in cases_for(by).filter(closed_on=None):
        stay = Intake.objects.open().filter(vehicle=case.vehicle).first()
        if stay is None or against_repair(stay) or not stay.items.open().exists():
            continue
        rates, given = rates_of(stay.program), given_of(stay)
        newest = make_estimate(intake=stay, given=given, rates=rates, by=by)
        authorize(
            case=case,
            intake=stay,
            estimate=newest.number,
            cents=newest.p80_cents,
            client_key=uuid4(),
            by=by,
        )
        if case.number == NUMBER:
            _ask(stay, asker)


def _ask(stay: Intake, by: User) -> None:
    """Ask for work that takes the car beyond its authorization, with a photo of it."""
    item = make_item(intake=stay, title="Front brake rotors", system="brakes")
    price = {"price_cents": 90_000, "price_high_cents": 90_000}
    make_need(item=item, kind="brake_rotor", title="Front rotors", **price)
    photo = kept(stay, by)
    work = works([stay.pk])[stay.pk]
    ask_supplement(
        intake=stay,
        items=[item],
        reason="The front rotors are cracked from the hub to the edge.",
        photo=photo,
        seen=seen_key(work.forecast.total_cents, work.minutes),
        client_key=uuid4(),
        by=by,
    )


def decisions() -> Rows:
    """Return what the addresses of decisions take."""
    row = Supplement.objects.get()
    stay, about = row.authorization.intake_id, [[NUMBER, row.pk]]
    pages = ("case_decisions", "authorize", "end_authorization", "ask_supplement")
    answers = ("supplement_page", "answer_owner", "answer_budget", "withdraw_supplement")
    return [
        ("decisions:stay_decisions", [[stay]]),
        *each([[NUMBER]], *(f"decisions:{name}" for name in pages)),
        *each(about, *(f"decisions:{name}" for name in (*answers, "supplement_paper"))),
    ]
