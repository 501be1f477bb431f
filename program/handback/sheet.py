"""The notice of a car that goes back unrepaired, in its reader's language, and its paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils import translation

from program.handback.queries import dangerous
from program.handback.wording import After, Danger, Found, How, System, notice
from shared.say import say
from vehicles.custody.kinds import NoticeHow
from vehicles.custody.wording import digest
from vehicles.inspection.catalogue import load
from vehicles.inspection.queries import with_sheet_state
from vehicles.inspection.wording import retold, spanish, speak
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from program.cases.models import Case
    from program.handback.wording import Notice
    from shared.say import Say
    from vehicles.custody.keeping import Leaving
    from vehicles.inspection.models import Finding


def notice_of(stay: Intake, findings: Sequence[Finding]) -> Notice:
    """Return the notice of a stay, as no language yet; one query."""
    bad = dangerous(findings)
    left = with_sheet_state(Intake.objects.filter(pk=stay.pk)).get()
    found = Found(
        car=str(stay.vehicle),
        garage=stay.program.name,
        phone=stay.program.phone,
        dangers=tuple(_danger(row) for row in bad),
        others=tuple(_seen(row) for row in findings if row not in bad),
        unread=getattr(left, "left", 0),
    )
    return notice(found)


def _danger(row: Finding) -> Danger:
    place = row.reading.position if row.reading else ""
    return Danger(system=System(row.system), seen=_seen(row), place=place)


def _seen(row: Finding) -> Say:
    """Return a finding in the shop's words, with the limit where one was passed.

    What was read is said in the reader's language, and so is a title that the catalogues know;
    what somebody wrote stays as it was written.
    """
    reading = row.reading
    if reading is None:
        named, written = say("{text}.", text=row.title.rstrip(".")), row.evidence.rstrip(".")
        return say("{title} {text}.", title=named, text=written) if written else named
    criterion = load().criteria.get(reading.criterion)
    point = criterion.title if criterion else row.title.partition(": ")[0].partition(", ")[0]
    sentence = retold(
        criterion,
        typed=reading.typed,
        unit=reading.unit,
        reason_key=reading.reason_key,
        stored=reading.sentence,
    )
    return say("{point}: {sentence}", point=point, sentence=sentence)


@dataclass(frozen=True, kw_only=True)
class Part:
    """One part of the notice in the language of its readers."""

    heading: str
    lines: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Words:
    """The notice in the language of its readers, and the digest of all of it."""

    language: str
    title: str
    box: tuple[str, ...]
    parts: tuple[Part, ...]
    dangers: tuple[str, ...]

    @property
    def digest(self) -> str:
        """What shows whether these are the words that somebody read."""
        lines = [line for part in self.parts for line in (part.heading, *part.lines)]
        return digest([self.language, self.title, *self.box, *lines])


def in_language(found: Notice, language: str) -> Words:
    """Return the notice in one language of the program."""
    words = spanish() if language == "es" else {}

    def told(sentence: Say) -> str:
        return speak(sentence, words, translation.gettext)

    with translation.override(language):
        return Words(
            language=language,
            title=told(found.title),
            box=tuple(told(line) for line in found.box),
            parts=tuple(
                Part(heading=told(one.heading), lines=tuple(told(line) for line in one.lines))
                for one in found.sections
            ),
            dangers=tuple(told(line) for line in found.dangers),
        )


@dataclass(frozen=True, kw_only=True)
class Returning:
    """How a car goes back: the leaving as custody keeps it, and what follows for the case.

    `leaving.content_hash` is the digest of the notice that was read; `version` that of the stay on
    screen. `after` is None where no household waits for a decision.
    """

    leaving: Leaving
    version: int
    after: After | None = None
    interpreter: str = ""

    @property
    def how(self) -> How:
        """How the notice was taken; who saw a paper signed is its witness."""
        if self.leaving.notice is NoticeHow.DECLINED:
            return How.DECLINED
        return How.SCREEN if self.leaving.strokes else How.PAPER


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """Everything on the paper of a notice; without `returning` its lines are left to be filled."""

    number: str
    garage: str
    where: str
    day: dt.date
    car: str
    vin: str
    plate: str
    odometer_mi: int | None
    words: Words
    returning: Returning | None = None


def sheet_of(stay: Intake, case: Case | None, words: Words, returning: Returning | None) -> Sheet:
    """Return the paper of a stay's notice. A stay ends once, so its number is never given twice."""
    vehicle, program = stay.vehicle, stay.program
    return Sheet(
        number=f"{case.number if case else vehicle.pk}-U{stay.pk}",
        garage=program.name,
        where=program.postal_address,
        day=returning.leaving.on if returning else program.today(),
        car=str(vehicle),
        vin=vehicle.vin,
        plate=f"{vehicle.plate} {vehicle.plate_state}".strip(),
        odometer_mi=stay.odometer_mi,
        words=words,
        returning=returning,
    )
