"""A person makes sure that a part fits: what is on the shelf is matched again at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import transaction

from shared.jobs.actions import ask
from sponsors.pledges.actions import MATCH
from vehicles.repairs.keeping import Seen, record_fit

if TYPE_CHECKING:
    from shared.accounts.models import User
    from sponsors.pledges.models import Supply
    from vehicles.repairs.ages import Worn
    from vehicles.repairs.models import Need


@transaction.atomic
def make_sure(
    *, need: Need, how: str, part_number: str, unit: Supply | None, worn: Worn, by: User
) -> Need:
    """Write how it became sure that a part fits, and of which unit; matching counts with it.

    `unit` is None for a part that is still to be bought.

    Raises:
        ValidationError: as `keeping.record_fit` refuses.
    """
    said = Seen(
        how=how,
        part_number=part_number,
        unit=unit.pk if unit else None,
        used=bool(unit and unit.used),
        worn=worn,
    )
    row = record_fit(need=need, said=said, by=by)
    ask(program=row.program, key=f"{MATCH}:sure:{row.pk}:{row.version}", kind=MATCH)
    return row
