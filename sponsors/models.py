"""The models of the sponsors rooms, gathered for Django."""

from sponsors.appeals.models import Appeal, AppealLine
from sponsors.matching.models import Reservation
from sponsors.pledges.models import Lot, Pledge, Supply
from sponsors.register.models import Contact, Gives, Sponsor

__all__ = [
    "Appeal",
    "AppealLine",
    "Contact",
    "Gives",
    "Lot",
    "Pledge",
    "Reservation",
    "Sponsor",
    "Supply",
]
