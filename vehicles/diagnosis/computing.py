"""What the pages of a diagnosis show, in a number of queries that doesn't grow with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from shared.money import usd
from shared.say import Say, say
from vehicles.codes.queries import counted, scans_of, stored
from vehicles.diagnosis.complaints import load
from vehicles.diagnosis.conclusions import proof_of
from vehicles.diagnosis.deciding import MARGIN
from vehicles.diagnosis.evidence import moves, times
from vehicles.diagnosis.gathering import readable, session_of
from vehicles.diagnosis.inference import Contradiction, Reasoner
from vehicles.diagnosis.likelihood import figure
from vehicles.diagnosis.looking import Contradicted, Looking, against, looking
from vehicles.diagnosis.models import Diagnosis
from vehicles.diagnosis.queries import own_texts
from vehicles.diagnosis.setups import load as load_setups
from vehicles.diagnosis.spoken import merged, reasons
from vehicles.diagnosis.symptoms import search
from vehicles.diagnosis.wording import small
from vehicles.inspection.catalogue import cautions
from vehicles.intake.kinds import PhotoAbout
from vehicles.intake.queries import photos_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shared.accounts.models import Program
    from vehicles.diagnosis.advice import Option, Outlook
    from vehicles.diagnosis.evidence import Moved
    from vehicles.diagnosis.fault_model import Check, Fault, FaultModel
    from vehicles.diagnosis.setups import Setup
    from vehicles.diagnosis.symptoms import Hit
    from vehicles.diagnosis.values import Session, Step
    from vehicles.inspection.criteria import Caution
    from vehicles.intake.models import Intake, Photo

MOST_HITS: Final = 5
MOST_FAULTS: Final = 6  # whose moves are listed
LEAST_MOVE: Final = 0.4  # decibans, a tenth likelier or unlikelier


@dataclass(frozen=True, kw_only=True)
class ComplaintRow:
    """A complaint that may be looked into: why it was found, and whether that goes on already."""

    model: FaultModel
    hit: Hit | None
    codes: Say | None = None
    open_id: int | None = None


@dataclass(frozen=True, kw_only=True)
class SeenRow:
    """One observation as the page lists it."""

    step: Step
    title: str
    label: str
    photos: Sequence[Photo]


@dataclass(frozen=True, kw_only=True)
class OutlookRow:
    """What one outcome would mean, with titles and figures."""

    label: str
    figure: Say
    leading: Sequence[tuple[str, Say]]
    then: Say | None


@dataclass(frozen=True, kw_only=True)
class OptionRow:
    """A check that is left, with what it costs and saves as the page says it."""

    option: Option
    cost: Say
    saving_cents: int
    so: Say
    outlooks: Sequence[OutlookRow]

    @property
    def check(self) -> Check:
        """The check itself."""
        return self.option.check


@dataclass(frozen=True, kw_only=True)
class MovedRow:
    """A fault and what moved it: check, outcome, and how many times likelier that made it."""

    fault: Fault
    moved: Sequence[tuple[str, str, Say]]


@dataclass(frozen=True, kw_only=True)
class CheckPoint:
    """One check as its page shows it, with what stands of it and what stands against it."""

    check: Check
    step: Step | None
    setups: Sequence[Setup]
    cautions: Sequence[Caution]
    against: Sequence[str]
    photo_key: str
    photos: Sequence[Photo]


def complaint_rows(stay: Intake, words: str) -> list[ComplaintRow]:
    """Return the complaints that fit the words or that codes speak to first, the rest by title.

    A text of the program's own that can't be read any more gives way to the shipped one.
    """
    models = models_of(stay.program)
    open_ids = dict(Diagnosis.objects.open().filter(intake=stay).values_list("complaint", "pk"))
    hits = {hit.code: hit for hit in search(words, models, MOST_HITS)}
    told = reasons(stored(counted(scans_of(stay))), models)
    return [
        ComplaintRow(
            model=models[code],
            hit=hits.get(code),
            codes=told.get(code),
            open_id=open_ids.get(code),
        )
        for code in merged(hits, told, models)
    ]


def models_of(program: Program) -> Mapping[str, FaultModel]:
    """Return the models in force; one of the program's own that can't be read is left out."""
    return load(readable(own_texts(program)))


def page_of(row: Diagnosis) -> dict[str, Any]:
    """Return what the page of a diagnosis shows, but for its pictures and forms."""
    session = session_of(row)
    found = looking(session)
    photos = photos_of(row.intake, PhotoAbout.DIAGNOSIS)
    conclusions = list(row.conclusions.select_related("root", "by", "finding"))
    signed = {one.fault for one in conclusions if not one.withdrawn_at}
    suspect = _suspect(session, found, signed)
    options = [] if isinstance(found, Contradicted) else _options(session, found)
    return {
        "stay": row.intake,
        "diagnosis": row,
        "model": session.model,
        "session": session,
        "found": None if isinstance(found, Contradicted) else found,
        "contradicted": found if isinstance(found, Contradicted) else None,
        "seen": [_seen(row, session, step, photos) for step in session.steps],
        "moved": [] if isinstance(found, Contradicted) else _moved(session, found),
        "setups": _setups(session),
        "options": options,
        "best": next((one for one in options if _is_upcoming(one, found, suspect)), None),
        "suspect": suspect,
        "is_shown": suspect and proof_of(session.model, suspect.code, session.observed),
        "repair_order": [] if isinstance(found, Contradicted) else _repair_order(session, found),
        "conclusions": [
            (one, figure(one.permille / 1000)) for one in conclusions if not one.withdrawn_at
        ],
        "withdrawn": [one for one in conclusions if one.withdrawn_at],
        "offered": _offered(found, signed),
    }


def point_of(row: Diagnosis, session: Session, check: Check) -> CheckPoint:
    """Return one check as its page shows it."""
    setups, known = load_setups(), cautions()
    key = photo_key(row, check.code)
    photos = photos_of(row.intake, PhotoAbout.DIAGNOSIS)
    return CheckPoint(
        check=check,
        step=session.step(check.code),
        setups=[setups[code] for code in check.setups],
        cautions=[known[code] for code in check.cautions],
        against=[] if session.step(check.code) else against(session, check),
        photo_key=key,
        photos=photos.get(key, []),
    )


def photo_key(row: Diagnosis, check: str) -> str:
    """Return the key under which photos of a check are kept."""
    return f"{row.pk}/{check}"


def _seen(
    row: Diagnosis, session: Session, step: Step, photos: Mapping[str, Sequence[Photo]]
) -> SeenRow:
    check = session.model.check(step.check)
    return SeenRow(
        step=step,
        title=check.title,
        label=session.label(step),
        photos=photos.get(photo_key(row, step.check), ()),
    )


def _moved(session: Session, found: Looking) -> list[MovedRow]:
    """Return the likeliest faults with what moved each of them."""
    if not session.observed:
        return []
    reasoner = Reasoner(session.model)
    rows = []
    for bar in [one for one in found.bars if one.code][:MOST_FAULTS]:
        try:
            moved = moves(reasoner, session.observed, bar.code)
        except Contradiction:
            continue
        told = [_told(session.model, one) for one in moved if abs(one.decibans) >= LEAST_MOVE]
        rows.append(MovedRow(fault=session.model.fault(bar.code), moved=told))
    return rows


def _told(model: FaultModel, one: Moved) -> tuple[str, str, Say]:
    check = model.check(one.check)
    label = check.outcomes[check.place(one.outcome)].label
    return check.title, small(label), times(one.ratio)


def _options(session: Session, found: Looking) -> list[OptionRow]:
    """Return every check that is left, in the order of the advice."""
    setups = load_setups()
    return [
        OptionRow(
            option=one,
            cost=_cost(one, [setups[code].title for code, _ in one.setups]),
            saving_cents=round(one.saving.total),
            so=_so(one),
            outlooks=[_outlook(session.model, each) for each in one.outlooks],
        )
        for one in found.advice.options
    ]


def _cost(option: Option, setups: Sequence[str]) -> Say:
    """Return what a check takes, with what has to be made true first."""
    minutes, cents = option.effort.minutes, option.effort.cents
    count = say("1 minute") if minutes == 1 else say("{count} minutes", count=minutes)
    paid = say("{count}, {money}", count=count, money=usd(cents)) if cents else count
    if not setups:
        return say("{paid}.", paid=paid)
    return say("{paid}, making it so first: {setups}.", paid=paid, setups=", ".join(setups))


def _so(option: Option) -> Say:
    if option.barred:
        return say("not now")
    if option.first:
        return say("another first")
    if option.saving.is_worth(MARGIN):
        return say("worth doing")
    return say("saves little") if option.saving.total > 0 else say("costs more than it saves")


def _outlook(model: FaultModel, one: Outlook) -> OutlookRow:
    return OutlookRow(
        label=one.label,
        figure=figure(one.probability),
        leading=[(model.fault(code).title, figure(p)) for code, p in one.leading],
        then=one.then,
    )


def _is_upcoming(row: OptionRow, found: Looking | Contradicted, suspect: Fault | None) -> bool:
    if isinstance(found, Contradicted) or (found.advice.stop and not suspect):
        return False
    return row.check.code == found.upcoming


def _suspect(session: Session, found: Looking | Contradicted, signed: set[str]) -> Fault | None:
    """Return the fault to look at first, once searching is over and nobody signed for it."""
    if isinstance(found, Contradicted) or not found.suspect or found.suspect in signed:
        return None
    return session.model.fault(found.suspect)


def _repair_order(session: Session, found: Looking) -> list[str]:
    return [session.model.fault(code).title for code in found.advice.repair_order]


def _setups(session: Session) -> list[tuple[Setup, bool]]:
    """Return what the checks of the model ask for, and whether it is so now."""
    asked = {code for check in session.model.checks for code in check.setups}
    return [(one, code in session.setups) for code, one in load_setups().items() if code in asked]


def _offered(found: Looking | Contradicted, signed: set[str]) -> list[Fault]:
    """Return the confirmed faults that nobody has signed for."""
    if isinstance(found, Contradicted):
        return []
    return [one.fault for one in found.offered if one.fault.code not in signed]
