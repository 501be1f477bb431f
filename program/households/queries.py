"""What a tie keeps from a user, for rooms that know no household."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.households.models import Household
from shared.outbox.models import Address

if TYPE_CHECKING:
    from django.db.models import QuerySet

    from shared.accounts.models import User


def withheld_addresses(user: User) -> QuerySet[Address]:
    """Return the addresses of the households that a standing tie keeps from the user."""
    tied = Household.objects.filter(ties__user=user, ties__ended_on=None)
    return Address.objects.filter(pk__in=tied.values("address_id"))
