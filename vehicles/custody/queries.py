"""Who may say yes to what on a stay, who has, and what lies, hangs and stands where."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db.models import Exists, OuterRef
from django.utils import translation
from django.utils.module_loading import import_string

from shared.dates import full_date
from shared.problems import Level, blockers
from vehicles.custody.acts import Act, OwnerKind
from vehicles.custody.authority import Asked, Authority, Given, Named, consents, signers
from vehicles.custody.conditions import IN_CARE, Step
from vehicles.custody.kinds import ContentKind, Hold, Joined, Lien, Stolen
from vehicles.custody.models import Condition, Consent, Content, Owner, Standing
from vehicles.custody.values import path
from vehicles.custody.wording import OPENING, digest, promise
from vehicles.intake.models import Intake, Vehicle

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping

    from shared.accounts.models import User
    from shared.problems import Problem
    from shared.say import Say

#: How the reason of a decision begins that names the release of a car reported stolen.
RELEASE = "Police release"


def owners(intake: Intake) -> list[Owner]:
    """Return the people whom a paper names for the car now."""
    return list(Owner.objects.filter(vehicle_id=intake.vehicle_id, ended_on__isnull=True))


def may_sign(intake: Intake) -> list[Owner]:
    """Return the owners who may say yes: by the title, or where none was seen, the registration."""
    rows = {row.pk: row for row in owners(intake)}
    return [rows[one.id] for one in signers([_named(row) for row in rows.values()])]


def open_stay(intake: Intake) -> Intake:
    """Return the stay, locked.

    Raises:
        ValidationError: it has ended.
    """
    found = Intake.objects.select_for_update().get(pk=intake.pk)
    if found.left_on:
        left = full_date(found.left_on)
        raise ValidationError(f"This stay ended on {left}; nothing more can be recorded on it.")
    return found


def authority(intake: Intake, on: dt.date) -> list[Authority]:
    """Return, for each act, whether it may be done on a day, by whom, and what is in the way."""
    return authorities([intake], on)[intake.pk]


def authorities(intakes: Iterable[Intake], on: dt.date) -> dict[int, list[Authority]]:
    """Return the authority of each stay, by stay; a constant number of queries for all of them."""
    stays = list(intakes)
    ids = [stay.pk for stay in stays]
    asked = {row.intake_id: row for row in Standing.objects.filter(intake__in=ids)}
    named: dict[int, list[Named]] = {}
    for owner in Owner.objects.filter(
        vehicle__in=[stay.vehicle_id for stay in stays], ended_on__isnull=True
    ):
        named.setdefault(owner.vehicle_id, []).append(_named(owner))
    given: dict[int, list[Given]] = {}
    for row in Consent.objects.filter(intake__in=ids).select_related("owner"):
        if is_in_force(row, on):
            yes = Given(owner=row.owner_id, act=Act(row.act))
            given.setdefault(row.intake_id, []).append(yes)
    stops: dict[int, list[str]] = {}
    for content in undecided(ids):
        stops.setdefault(content.intake_id, []).append(content.what)
    stopped = work_stops(ids)
    return {
        stay.pk: list(
            consents(
                _asked(asked.get(stay.pk)),
                named.get(stay.vehicle_id, []),
                given.get(stay.pk, []),
                stops.get(stay.pk, []),
                stopped.get(stay.pk),
            )
        )
        for stay in stays
    }


def work_stops(intakes: Iterable[int]) -> Mapping[int, Problem]:
    """Return, by stay, why nobody may go on with its repair; the rest are left out."""
    found: Mapping[int, Problem] = import_string(settings.WORK_STOPS)(list(intakes))
    return found


def refuse_without(intake: Intake, act: Act, on: dt.date) -> None:
    """Return nothing once the act may be done on a day.

    Raises:
        ValidationError: somebody has to sign still, or something stands against it; one sentence
            for each, the gravest first.
    """
    found = next(one for one in authority(intake, on) if one.act == act)
    barred = blockers(found.problems)
    if barred:
        raise ValidationError([f"{one.sentence} {one.remedy}".strip() for one in barred])


def against(found: Iterable[Authority]) -> list[Problem]:
    """Return what stands against the car as such, each once, what stops something first."""
    once: dict[Say, Problem] = {}
    for problem in sorted(
        (problem for one in found for problem in one.problems if not problem.where),
        key=lambda problem: problem.level != Level.BLOCKER,
    ):
        once.setdefault(problem.sentence, problem)
    return list(once.values())


def stops(intake: Intake) -> str:
    """Return what stands against the car today and asks for a decision, in sentences."""
    found = against(authority(intake, intake.program.today()))
    return " ".join(str(one.sentence) for one in blockers(found))


def is_in_force(consent: Consent, on: dt.date) -> bool:
    """Return whether a consent holds on a day: given, not over, not withdrawn, by an owner."""
    if consent.given_on > on or (consent.until_on and consent.until_on < on):
        return False
    return all(day is None or day > on for day in (consent.withdrawn_on, consent.owner.ended_on))


def undecided(intakes: Iterable[int]) -> list[Content]:
    """Return the weapons and biohazards in the cars of stays on which nobody has decided."""
    kinds = [kind for kind in ContentKind if kind.stops_work]
    return list(
        Content.objects.filter(intake__in=list(intakes), kind__in=kinds, decided_by__isnull=True)
    )


@dataclass(frozen=True, kw_only=True)
class Texts:
    """The words of the consents to one stay in one language, and the digest of all of them."""

    opening: str
    acts: Mapping[Act, str]

    @property
    def digest(self) -> str:
        """What shows whether these are the words that somebody read."""
        return digest([self.opening, *self.acts.values()])


def texts(intake: Intake, language: str) -> Texts:
    """Return what an owner reads before signing, in a language of the program."""
    car, garage = str(intake.vehicle), intake.program.name
    with translation.override(language):
        return Texts(
            opening=OPENING.render(translation.gettext),
            acts={
                act: promise(act, car=car, garage=garage).render(translation.gettext) for act in Act
            },
        )


def expected(user: User) -> list[Vehicle]:
    """Return the cars that the user may see and that have not come yet, the latest last."""
    rows = Vehicle.objects.for_user(user).filter(condition__step=Step.EXPECTED)
    here = Intake.objects.filter(vehicle=OuterRef("pk"), left_on__isnull=True)
    return list(rows.filter(~Exists(here)).order_by("pk"))


def beside(condition: Condition | None, user: User) -> list[str]:
    """Return which other cars in care stand in the same place, as `user` may know them."""
    if condition is None or not condition.place:
        return []
    same = Condition.objects.filter(
        program=condition.program_id, place__iexact=condition.place, step__in=IN_CARE
    )
    rows = same.exclude(pk=condition.pk).select_related("vehicle").order_by("pk")
    known = set(
        Vehicle.objects.for_user(user).filter(condition__in=rows).values_list("pk", flat=True)
    )
    return [str(row.vehicle) if row.vehicle_id in known else "another car" for row in rows]


def _named(owner: Owner) -> Named:
    return Named(id=owner.pk, name=owner.name, kind=OwnerKind(owner.kind))


def _asked(row: Standing | None) -> Asked | None:
    """Return the answers of a row; None when nobody has asked."""
    if row is None:
        return None
    return Asked(
        joined=Joined(row.joined),
        lien=Lien(row.lien),
        hold=Hold(row.hold),
        stolen=Stolen(row.stolen),
        papers_agree=row.papers_agree,
        decided=row.cleared_on is not None,
        released=row.cleared_because.startswith(RELEASE),
    )


@dataclass(frozen=True, kw_only=True)
class ActRow:
    """One act on the page: what may be done, and the consents to it with their drawn names."""

    authority: Authority
    signed: list[tuple[Consent, str]]


def act_rows(intake: Intake, found: Iterable[Authority]) -> list[ActRow]:
    """Return the acts with every consent that was not taken back; one query."""
    rows = list(intake.consents.filter(withdrawn_on=None).select_related("owner"))
    return [
        ActRow(
            authority=one, signed=[(row, path(row.strokes)) for row in rows if row.act == one.act]
        )
        for one in found
    ]


def contents(intake: Intake) -> list[tuple[Content, ContentKind]]:
    """Return what lay in the car, in the order it was listed, each with its kind; one query."""
    rows = intake.contents.select_related("decided_by")
    return [(row, ContentKind(row.kind)) for row in rows]
