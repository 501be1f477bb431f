"""Who may say yes to what on a stay, and who has."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from vehicles.custody.acts import Act, OwnerKind
from vehicles.custody.models import Consent, Owner

if TYPE_CHECKING:
    import datetime as dt

    from vehicles.intake.models import Intake


@dataclass(frozen=True, kw_only=True)
class Authority:
    """What may be done with a car: who consented to the act, and which title owner has not."""

    act: Act
    given_by: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()

    @property
    def met(self) -> bool:
        """Whether an owner's consent is in force."""
        return bool(self.given_by)

    @property
    def label(self) -> str:
        """The act at the start of a sentence."""
        return self.act.label

    @property
    def note(self) -> str:
        """Who said yes, or that nobody has; and who else is on the title."""
        if not self.given_by:
            return f"no owner has consented: {_WITHOUT[self.act]}"
        also = f"; not signed by {', '.join(self.missing)}, also on the title"
        return f"signed by {', '.join(self.given_by)}{also if self.missing else ''}"


_WITHOUT = {
    Act.DIAGNOSE: "look, but take nothing apart",
    Act.REPAIR: "nothing may be repaired",
    Act.ROAD_TEST: "the car stays off the road",
    Act.STORE: "agree on a day by which it is fetched",
}


def owners(intake: Intake) -> list[Owner]:
    """Return the people whom a paper names for the car now."""
    return list(Owner.objects.filter(vehicle_id=intake.vehicle_id, ended_on__isnull=True))


def authority(intake: Intake, on: dt.date) -> list[Authority]:
    """Return, for each act, whose consent is in force on a day."""
    rows = Consent.objects.filter(intake=intake).select_related("owner")
    standing = [row for row in rows if _in_force(row, on)]
    titled = [owner.name for owner in owners(intake) if owner.kind == OwnerKind.TITLE]
    found = []
    for act in Act:
        given = [row.owner.name for row in standing if row.act == act]
        missing = tuple(name for name in titled if name not in given)
        found.append(Authority(act=act, given_by=tuple(dict.fromkeys(given)), missing=missing))
    return found


def _in_force(consent: Consent, on: dt.date) -> bool:
    """Return whether a consent holds on a day: given, not over, not withdrawn, by an owner."""
    if consent.given_on > on or (consent.until_on and consent.until_on < on):
        return False
    return all(day is None or day > on for day in (consent.withdrawn_on, consent.owner.ended_on))
