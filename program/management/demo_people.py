"""Who signs in to the demonstration. All are invented, and so are their passwords."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shared.accounts.models import Role, User
from shared.accounts.roles import RoleKind
from shared.people.models import Person
from sponsors.register.models import Contact, Sponsor

if TYPE_CHECKING:
    from shared.accounts.models import Program

PASSWORD = "osier-street-14"  # noqa: S105 (of an invented charity, printed on the terminal)
SINCE = dt.date(2024, 1, 1)


@dataclass(frozen=True, kw_only=True)
class SignIn:
    """One demonstration sign-in. `person` and `sponsor` name the row that belongs to the user."""

    username: str
    first_name: str
    last_name: str
    kinds: tuple[RoleKind, ...]
    about: str
    person: str = ""
    sponsor: str = ""
    password: str = PASSWORD


SIGN_INS = (
    SignIn(
        username="imke",
        first_name="Imke",
        last_name="Rasmus",
        kinds=(RoleKind.COORDINATOR,),
        about="coordinator: the desk, the week, appeals, sheets",
    ),
    SignIn(
        username="rosalind",
        first_name="Rosalind",
        last_name="Amadi",
        kinds=(RoleKind.LEAD_TECHNICIAN,),
        about="technician: the cars, readings, repair items",
        person="Rosalind Amadi",
    ),
    SignIn(
        username="sten",
        first_name="Sten",
        last_name="Voss",
        kinds=(RoleKind.TECHNICIAN,),
        about="the second technician: a second signature",
        person="Sten Voss",
    ),
    SignIn(
        username="jonas",
        first_name="Jonas",
        last_name="Okeke",
        kinds=(RoleKind.TREASURER,),
        about="treasurer: funds, entries, statements",
    ),
    SignIn(
        username="benno",
        first_name="Benno",
        last_name="Larkspur",
        kinds=(RoleKind.SPONSOR,),
        about="sponsor: needs that fit, pledges",
        sponsor="Larkspur Radiator Shop",
    ),
)


def make_people(program: Program) -> None:
    """Make the users that are missing, with their roles; those there are stay as they are."""
    known = set(User.objects.values_list("username", flat=True))
    for row in SIGN_INS:
        if row.username not in known:
            _make(program, row)


def _make(program: Program, row: SignIn) -> None:
    """Make one user; a sign-in that the import gave to their person is opened instead."""
    person = Person.objects.filter(program=program, name=row.person).first() if row.person else None
    user = (person and person.user) or User(program=program)
    user.username, user.is_active = row.username, True
    user.first_name, user.last_name = row.first_name, row.last_name
    user.set_password(row.password)
    user.save()
    for kind in row.kinds:
        Role.objects.create(program=program, user=user, kind=kind, since_on=SINCE)
    if person and person.user is None:
        person.user = user
        person.save(update_fields=["user"])
    if row.sponsor:
        sponsor = Sponsor.objects.filter(program=program, name=row.sponsor).first()
        if sponsor:
            Contact.objects.create(program=program, sponsor=sponsor, user=user)
