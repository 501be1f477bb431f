"""What a sponsor does on their own pages."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sponsors.pledges.actions import record_pledge

if TYPE_CHECKING:
    import datetime as dt
    from uuid import UUID

    from shared.accounts.models import User
    from sponsors.pledges.models import Pledge
    from sponsors.portal.queries import Wish
    from sponsors.register.models import Sponsor


def pledge_for(  # noqa: PLR0913  # who gives what for which need, until when
    *,
    sponsor: Sponsor,
    wish: Wish,
    quantity: int,
    expires_on: dt.date | None,
    client_key: UUID,
    note: str = "",
    by: User | None,
) -> Pledge:
    """Record a pledge of the part that a need asks for.

    The part goes where it is needed most, which need not be this need: no gift is tied to a car.

    Raises:
        ValidationError: what `record_pledge` refuses.
    """
    return record_pledge(
        sponsor=sponsor,
        part=wish.part,
        title=wish.title,
        quantity=quantity,
        expires_on=expires_on,
        client_key=client_key,
        note=note,
        by=by,
    )
