"""The two papers of an inspection: one for the file with every fact, a plain one for the household.

The household's is in English or Spanish. Classes are words with a mark, never a color.
"""

from __future__ import annotations

from functools import partial
from itertools import groupby
from typing import TYPE_CHECKING, Final

from django.utils.translation import gettext, override
from reportlab.lib.pagesizes import letter
from reportlab.platypus import KeepTogether

from shared.dates import full_date
from shared.documents.grid import Column, table
from shared.documents.pdf import Paper, build, letterhead
from shared.documents.pieces import Boxed, Columns, Look, heading, words
from shared.templatetags.handback import long_day
from vehicles.inspection import wording
from vehicles.inspection.judged import driving
from vehicles.inspection.pieces import Marked, photo_rows
from vehicles.inspection.values import Issue

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from reportlab.platypus import Flowable

    from shared.say import Say
    from vehicles.inspection.values import Report, Wrong

    Tell = Callable[[Say | str], str]

GAP: Final = 18
LEFT: Final = 290
SMALL: Final = Look(size=8, below=2)
FAINT: Final = Look(size=7.5, gray=True, below=1)
ROW: Final = Look(size=9, below=2)
NAME: Final = Look(size=10, bold=True, above=9, below=1)
LARGE: Final = Look(size=12.5, below=4)
LARGE_NAME: Final = Look(size=12.5, bold=True, above=7, below=1)
LARGE_HEADING: Final = Look(size=15, bold=True, above=12, below=3)
#: More points than these are counted for the household, not named.
NAMED: Final = 12


def report_paper(report: Report, kind: Issue) -> bytes:
    """Return the paper as a PDF of letter size; the same report gives the same bytes."""
    with override(kind.language):
        for_file = kind is Issue.FILE
        title = "Inspection report" if for_file else gettext("What we found on your car")
    paper = Paper(
        garage=report.garage,
        title=title,
        number=report.number,
        day=report.day,
        size=letter,
        language=kind.language,
    )
    lexicon = wording.spanish() if kind is Issue.SPANISH else {}
    tell = partial(wording.speak, words=lexicon, translate=gettext)
    story = _file if for_file else _household
    return build(paper, lambda: list(story(report, paper, tell)))


# ---- for the file ----


def _file(report: Report, paper: Paper, tell: Tell) -> Iterator[Flowable]:
    yield from letterhead(paper, " ".join(tell(line) for line in wording.first_line(report)))
    yield from _identity(report, paper)
    yield Boxed([words(tell(wording.NOTE), Look(size=9, bold=True))])
    yield heading(f"Findings: {wording.counted(report)}")
    if not report.open:
        yield words("None is open.", ROW)
    for one in report.open:
        yield KeepTogether([_finding(one, paper, tell)])
    yield from _closed(report)
    yield from _unread(report, paper)
    yield from _noted(report, tell)
    for group, texts in report.good:
        yield words(f"Read and in order. {group}", NAME, role="H2")
        yield words("; ".join(texts) + ".", SMALL)
    if report.shots:
        more = f", {report.more_shots} more in the file" if report.more_shots else ""
        yield heading(f"Photos{more}")
        yield from photo_rows(report.shots, paper.width, tall=paper.height, look=FAINT, tell=tell)
    if report.cautions:
        yield heading("Before anybody works on these findings")
        for caution in report.cautions:
            seen = wording.seen(text_seen=caution.text_seen)
            yield words(f"{caution.title}. {caution.text} {caution.authority}; {seen}.", SMALL)


def _identity(report: Report, paper: Paper) -> Iterator[Flowable]:
    """Yield what a station records of a car and of who looked at it.

    Source: NHTSA's uniform guideline for state inspection programs (seen in reprint): class of
    vehicle, date, make, model year, VIN, defects by category, inspector, odometer reading.
    """
    miles = "not read" if report.odometer_mi is None else f"{report.odometer_mi:,} miles"
    facts = [("Odometer", miles), *report.facts]
    columns = [Column(head="", width=96), Column(head="", width=LEFT - 96, bold=True)]
    right = paper.width - LEFT - GAP
    looks = [words(wording.looked(one), SMALL) for one in report.looks]
    looks = looks or [words("No sheet was begun.", SMALL)]
    read_by = [words(f"Read by {name}.", SMALL) for name in report.readers]
    yield Columns(
        [
            (LEFT, [table(columns, facts, size=8, pad=1)]),
            (
                right,
                [words("Sheets and who read", Look(size=9, bold=True, below=2)), *looks, *read_by],
            ),
        ],
        gap=GAP,
        tallest=paper.height,
    )


def _finding(one: Wrong, paper: Paper, tell: Tell) -> Columns:
    title = f"{one.title}, {one.place}" if one.place else one.title
    name = words(f"{wording.class_word(one).capitalize()}: {title}", NAME, role="H3")
    left: list[Flowable] = [
        Marked(name, one.deficiency, NAME.size),
        words(one.sentence, ROW),
    ]
    if one.deficiency.rank or one.held:
        left.append(words(tell(driving(one.deficiency, never_release=one.held)), SMALL))
    if one.strands:
        left.append(words("It strands the car.", SMALL))
    left += [words(wording.regraded(row), SMALL) for row in one.regrades]
    right = [
        words(text, SMALL if n else Look(size=8, above=9, below=2))
        for n, text in enumerate(wording.grounds(one))
    ]
    wide = paper.width - LEFT - GAP
    return Columns([(LEFT, left), (wide, right)], gap=GAP, tallest=paper.height)


def _closed(report: Report) -> Iterator[Flowable]:
    if not report.closed:
        return
    yield heading("Put right or withdrawn")
    for one in report.closed:
        how = (
            f"put right on {full_date(one.cleared_on)}" if one.cleared_on else one.withdrawn_because
        )
        place = f", {one.place}" if one.place else ""
        yield words(
            f"{wording.class_word(one).capitalize()}: {one.title}{place}. {one.sentence} {how}.",
            SMALL,
        )
        for row in one.regrades:
            yield words(wording.regraded(row), SMALL)


def _unread(report: Report, paper: Paper) -> Iterator[Flowable]:
    yield heading(f"Not read: {report.left} of {report.total} points")
    yield words(str(wording.UNREAD) if report.left else "Every point asked for was read.", ROW)
    said = [one for one in report.skipped if one.because]
    if said:
        columns = [Column(head="Point", width=200), Column(head="Why", width=paper.width - 200)]
        yield table(columns, [(wording.skipped(one), one.because) for one in said], size=8, pad=1)
    silent = [wording.skipped(one) for one in report.skipped if not one.because]
    if silent:
        yield words("No reason given: " + "; ".join(silent) + ".", Look(size=8, above=5, below=4))
    if report.not_needed:
        rest = groupby(
            sorted(report.not_needed, key=lambda one: one.because), lambda one: one.because
        )
        for because, some in rest:
            named = "; ".join(wording.skipped(one) for one in some)
            yield words(f"Not asked for ({because or 'no reason kept'}): {named}.", FAINT)


def _noted(report: Report, tell: Tell) -> Iterator[Flowable]:
    for title, rows in (
        ("Seen, without a class", report.noted),
        ("Near the limit", report.near),
        ("Differences that ask for a look", report.pairs),
    ):
        if rows:
            yield heading(title)
        for one in rows:
            place = f", {one.place}" if one.place else ""
            yield words(f"{one.title}{place}. {tell(one.sentence)}", SMALL)


# ---- for the household ----


def _household(report: Report, paper: Paper, tell: Tell) -> Iterator[Flowable]:
    vin = dict(report.facts).get("VIN", "")
    miles = "–" if report.odometer_mi is None else f"{report.odometer_mi:,}"
    lead = gettext("{car}, VIN {vin}. Odometer: {miles} miles.")
    yield from letterhead(paper, lead.format(car=report.car, vin=vin, miles=miles))
    first, second = wording.first_line(report)
    box = [words(tell(first), Look(size=20, bold=True, below=2)), words(tell(second), LARGE)]
    yield Boxed([*box, words(_read(report), LARGE)])
    for piece in (_plain(report, tell), _plain_closed(report, tell), _plain_unread(report, tell)):
        yield from piece
    for title, rows in (
        (gettext("Seen as well"), report.noted),
        (gettext("Good now, not for long"), report.near),
    ):
        lines = [f"{_where(one.title, one.place, tell)}: {tell(one.sentence)}" for one in rows]
        yield from _listed(title, lines)
    if report.shots:
        yield heading(gettext("Photos"), LARGE_HEADING)
        look = Look(size=10)
        yield from photo_rows(report.shots, paper.width, tall=paper.height, look=look, tell=tell)
    yield from _listed(gettext("Mind this"), [tell(one) for one in wording.cautions_for(report)])
    note = [words(tell(wording.NOTE), Look(size=11, bold=True, below=2))]
    note.append(words(tell(wording.SOURCES), Look(size=10)))
    then = _listed(gettext("What happens next"), [tell(one) for one in wording.NEXT])
    yield KeepTogether([*then, Boxed(note)])


def _read(report: Report) -> str:
    return gettext("{read} of {total} points are read.").format(
        read=report.read, total=report.total
    )


def _plain(report: Report, tell: Tell) -> Iterator[Flowable]:
    """Yield what is wrong by class, each class with what it means for driving."""
    for (deficiency, held), some in groupby(report.open, lambda one: (one.deficiency, one.grounds)):
        above: list[Flowable] = [heading(tell(wording.plain_class(deficiency)), LARGE_HEADING)]
        if deficiency.rank or held:
            above.append(words(tell(driving(deficiency, never_release=held)), LARGE))
        for one in some:
            yield KeepTogether([*above, *_plain_finding(one, tell)])
            above = []


def _plain_finding(one: Wrong, tell: Tell) -> list[Flowable]:
    name = words(_where(one.title, one.place, tell), LARGE_NAME, role="H3")
    why = f"{tell(one.why)}. " if one.why else ""
    said = [words(f"{why}{tell(one.said)}", LARGE)]
    if one.strands:
        said.append(words(tell(wording.STRANDS), LARGE))
    return [Marked(name, one.deficiency, LARGE_NAME.size), *said]


def _where(title: str, place: str, tell: Tell) -> str:
    return ", ".join(tell(text) for text in (title, place) if text)


def _plain_closed(report: Report, tell: Tell) -> Iterator[Flowable]:
    done = [
        f"{_where(one.title, one.place, tell)}: {long_day(one.cleared_on)}"
        for one in report.closed
        if one.cleared_on
    ]
    yield from _listed(gettext("Put right already"), done)


def _plain_unread(report: Report, tell: Tell) -> Iterator[Flowable]:
    if not report.left:
        return
    titles = list(dict.fromkeys(tell(one.title) for one in report.skipped))
    named = [", ".join(titles) + "."] if len(titles) <= NAMED else []
    yield from _listed(gettext("Not read"), [tell(wording.UNREAD), *named])


def _listed(title: str, lines: Sequence[str]) -> Iterable[Flowable]:
    if not lines:
        return []
    return [heading(title, LARGE_HEADING), *(words(line, LARGE) for line in lines)]
