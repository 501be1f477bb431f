"""Users and their roles; people, what they are signed off for, and the papers that were seen.

Users are here since the log stands above the accounts. No line in the log holds a personal value.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.db import transaction

from shared.accounts.models import Program, Role, User
from shared.accounts.roles import RoleKind
from shared.audit.actions import log_event
from shared.dates import full_date
from shared.people.kinds import PaperKind, skill_in_words
from shared.people.may import holds
from shared.people.models import Credential, Person, Skill
from shared.people.queries import worker, worker_of

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence


@transaction.atomic
def add_user(
    *, program: Program, by: User | None, password: str, kinds: Sequence[RoleKind], **names: str
) -> User:
    """Return a new user with their roles from today on. `names` are username and personal names.

    Raises ValidationError when the username is taken or not possible.
    """
    user = User(program=program, **names)
    user.set_password(password)
    user.full_clean()
    user.save()
    for kind in kinds:
        grant_role(user=user, kind=kind, since_on=program.today(), by=by)
    return user


def grant_role(*, user: User, kind: RoleKind, since_on: dt.date, by: User | None) -> Role:
    """Return the new role of a user from a day on. `by` is None for a set-up command.

    Raises ValidationError when the user holds the role already, or belongs to no program.
    """
    if user.program is None:
        raise ValidationError("This person belongs to no program yet.")
    role = Role(program=user.program, user=user, kind=kind, since_on=since_on)
    return _written(role, f"Gave the role of {kind.label.lower()}.", by)


def end_role(*, role: Role, until_on: dt.date, by: User) -> Role:
    """Let a role end after a day. The row stays: who was what, when, is part of the record."""
    role.until_on = until_on
    return _written(role, "Ended the role.", by)


@transaction.atomic
def _written(role: Role, what: str, by: User | None) -> Role:
    """Check and save the role, with its line in the log."""
    role.full_clean()
    role.save()
    log_event(role, what, by=by, fields=["since_on", "until_on"])
    return role


@transaction.atomic
def add_person(*, program: Program, by: User, **fields: Any) -> Person:
    """Return a new person of the shop; `fields` are those of the form.

    Raises ValidationError when a value is not possible, the sign-in belongs to somebody else, or
    the name is on the list: a form that is sent twice adds one person.
    """
    Program.objects.select_for_update().get(pk=program.pk)
    person = Person(program=program, **fields)
    here = Person.objects.filter(program=program, name=person.name, left_on__isnull=True)
    if here.exists():
        raise ValidationError(
            {
                "name": f"{person.name} is on the list already. Somebody else of this name is "
                "told apart by a further name."
            }
        )
    person.full_clean()
    person.save()
    log_event(person, "A person was added.", by=by)
    return person


@transaction.atomic
def edit_person(*, person: Person, version: int, by: User, **fields: Any) -> Person:
    """Change what is on record of a person; the log names the fields, never their values.

    Raises ValidationError when somebody else changed it since `version`, or a value is impossible.
    """
    found = _locked(person, version)
    changed = [name for name, value in fields.items() if getattr(found, name) != value]
    for name in changed:
        setattr(found, name, fields[name])
    found.full_clean()
    found.save()
    log_event(found, "The person was changed.", by=by, fields=changed)
    return found


@transaction.atomic
def leave(*, person: Person, left_on: dt.date | None, version: int, by: User) -> Person:
    """Note the last day a person works here, or with None that they work here again.

    Raises ValidationError when somebody else changed the person since `version`.
    """
    found = _locked(person, version)
    found.left_on = left_on
    found.save()
    what = "The person left." if left_on else "The person works here again."
    log_event(found, what, by=by, fields=["left_on"])
    return found


@transaction.atomic
def sign_off_skill(
    *, person: Person, code: str, since_on: dt.date, until_on: dt.date | None, by: User
) -> Skill:
    """Return a skill of a person, signed off by somebody else who holds it or leads the shop.

    Raises ValidationError when it is one's own, when the signer lacks it, or it is held already.
    """
    _refuse_oneself(person, by, "Nobody signs off their own skills.")
    signer = worker_of(by)
    holds_it = signer is not None and holds(signer, code, since_on)
    if not holds_it and not by.is_any_of({RoleKind.LEAD_TECHNICIAN}):
        raise ValidationError(
            f"{by} is not signed off for {skill_in_words(code)}, so somebody else signs this."
        )
    if holds(worker(person), code, since_on):
        raise ValidationError(f"{person} is signed off for {skill_in_words(code)} on that day.")
    skill = Skill(
        program_id=person.program_id,
        person=person,
        code=code,
        since_on=since_on,
        until_on=until_on,
        signed_by=by,
    )
    _refuse_before(until_on, since_on, "A skill can't end before it begins.")
    skill.full_clean()
    skill.save()
    log_event(person, f"Signed off for {skill_in_words(code)}.", by=by, fields=["skills"])
    return skill


@transaction.atomic
def end_skill(*, skill: Skill, until_on: dt.date, reason: str, by: User) -> Skill:
    """Let a skill end after a day; the row stays, and the log says why.

    Raises ValidationError when it has ended by then, or would end before it began.
    """
    found = Skill.objects.select_for_update(of=("self",)).get(pk=skill.pk)
    _refuse_ended(found.until_on, until_on)
    _refuse_before(until_on, found.since_on, "A skill can't end before it begins.")
    found.until_on = until_on
    found.save()
    what = f"No longer signed off for {skill_in_words(found.code)}."
    log_event(found.person, what, by=by, reason=reason, fields=["skills"])
    return found


@transaction.atomic
def record_paper(*, person: Person, by: User, **fields: Any) -> Credential:
    """Return a paper of a person that `by` has seen; `fields` are kind, number and its days.

    Raises ValidationError when it is one's own paper, on record already, or its days are not
    possible.
    """
    _refuse_oneself(person, by, "Somebody else has to see your papers.")
    if person.credentials.filter(**fields).exists():
        raise ValidationError("This paper is on record already.")
    paper = Credential(program_id=person.program_id, person=person, seen_by=by, **fields)
    paper.full_clean()
    paper.save()
    what = f"A paper was seen: {PaperKind(paper.kind).within}."
    log_event(person, what, by=by, fields=["credentials"])
    return paper


@transaction.atomic
def end_paper(*, paper: Credential, until_on: dt.date, reason: str, by: User) -> Credential:
    """Let a paper end before its time, with the reason, such as a license that was suspended.

    Raises ValidationError when it has ended by then, or would end before it began.
    """
    found = Credential.objects.select_for_update(of=("self",)).get(pk=paper.pk)
    _refuse_ended(found.until_on, until_on)
    found.until_on, found.ended_because = until_on, reason
    found.full_clean()
    found.save()
    what = f"A paper was ended: {PaperKind(found.kind).within}."
    log_event(found.person, what, by=by, reason=reason, fields=["credentials"])
    return found


def _locked(person: Person, version: int) -> Person:
    """Return the row, locked, with its next version; refuse what somebody else changed."""
    found = Person.objects.select_for_update(of=("self",)).get(pk=person.pk)
    if found.version != version:
        raise ValidationError("Somebody else changed this person. Open the page again.")
    found.version += 1
    return found


def _refuse_oneself(person: Person, by: User, sentence: str) -> None:
    """Refuse what nobody does for themselves; the row is locked for what else is looked at."""
    Person.objects.select_for_update(of=("self",)).get(pk=person.pk)
    if person.user_id == by.pk:
        raise ValidationError(sentence)


def _refuse_ended(ends: dt.date | None, until_on: dt.date) -> None:
    if ends and ends <= until_on:
        raise ValidationError({"until_on": f"It ends on {full_date(ends)} already."})


def _refuse_before(until_on: dt.date | None, since_on: dt.date, sentence: str) -> None:
    if until_on and until_on < since_on:
        raise ValidationError({"until_on": sentence})
