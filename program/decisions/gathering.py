"""What a page of decisions asks of a stay and its case."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from program.decisions.authorization import decide
from program.decisions.queries import against_repair, stay_to_go
from shared.documents.models import Document
from shared.policy.queries import policies
from vehicles.custody.acts import Act
from vehicles.custody.kinds import Joined
from vehicles.custody.queries import is_in_force, may_sign
from vehicles.repairs.models import EstimateLine, RepairItem
from vehicles.repairs.queries import is_stale

if TYPE_CHECKING:
    from collections.abc import Collection

    from program.cases.models import Case
    from program.decisions.authorization import Recommendation
    from program.decisions.models import Supplement
    from program.decisions.queries import Work
    from vehicles.custody.models import Consent
    from vehicles.intake.models import Intake
    from vehicles.repairs.models import Estimate


def joined_of(stay: Intake) -> Joined:
    """Return how the title joins its names, as it was answered."""
    standing = getattr(stay, "standing", None)
    return Joined(standing.joined) if standing else Joined.UNKNOWN


def stay_of(case: Case) -> Intake | None:
    """Return the newest stay of a case's car."""
    if case.vehicle is None:
        return None
    rows = case.vehicle.intakes.select_related("vehicle", "program", "standing")
    return rows.order_by("-arrived_on", "-pk").first()


def is_current(stay: Intake, estimate: Estimate) -> bool:
    """Return whether an estimate is that of the open items by today's prices and rules."""
    items = RepairItem.objects.open().filter(intake=stay)
    return not is_stale(estimate, items) and stay_to_go(stay).cents == estimate.p80_cents


def advice_of(stay: Intake, work: Work | None, estimate: Estimate | None) -> Recommendation | None:
    """Return what the figures of a stay speak for, by what is left to spend.

    What stopping costs is what the last tow cost: another one would cost about as much.
    """
    if work is None and estimate is None:
        return None
    tow = stay.tows.filter(cost_cents__isnull=False).order_by("-on", "-pk").first()
    return decide(
        to_go_p80_cents=work.forecast.to_go_cents if work else getattr(estimate, "p80_cents", 0),
        stopping_cents=tow.cost_cents if tow else None,
        cap_cents=policies(stay.program, stay.program.today())["case_cap_cents"],
        spent_cents=work.forecast.spent_cents if work else 0,
    )


def repair_consents(stay: Intake) -> list[Consent]:
    """Return the owners' consents to the repair of a stay that are in force, the newest last."""
    signers, today = [one.pk for one in may_sign(stay)], stay.program.today()
    rows = stay.consents.filter(act=Act.REPAIR, withdrawn_on=None, owner__in=signers)
    return [row for row in rows.select_related("owner") if is_in_force(row, today)]


def before(stay: Intake, estimate: Estimate | None) -> dict[str, Any]:
    """Return what a page shows before a stay is authorized: what is missing, and who said yes."""
    return {
        "is_stale": estimate is not None and not is_current(stay, estimate),
        "against": against_repair(stay),
        "consents": repair_consents(stay),
    }


def language_of(case: Case) -> str:
    """Return the language in which a household is written to; English where there is none."""
    return case.household.address.language if case.household else "en"


def issued(supplement: Supplement) -> Document | None:
    """Return the paper of a supplement as its owner said yes to it."""
    rows = Document.objects.filter(program=supplement.program_id, holder_kind="supplement")
    return rows.filter(holder_id=supplement.pk).order_by("-pk").first()


def choosable(stay: Intake, counted: Collection[int]) -> list[RepairItem]:
    """Return the open items of a stay, those that no frozen estimate counted first."""
    rows = RepairItem.objects.open().filter(intake=stay).ranked()
    return sorted(rows, key=lambda row: row.pk in counted)


def counted_items(stay: Intake) -> set[int]:
    """Return the items that a frozen estimate of a stay counted."""
    lines = EstimateLine.objects.filter(estimate__intake=stay, estimate__frozen_at__isnull=False)
    return set(lines.values_list("item_id", flat=True))
