"""The case report of one diagnosis: for a second technician, a sponsor of a big part, or a court.

First what was concluded and on what it rests, then every observation, then how the figures came
about and what they are not. Words before figures, never a color.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from reportlab.lib.pagesizes import letter
from reportlab.platypus import KeepTogether, Spacer

from shared.documents.drawn import picture
from shared.documents.grid import Column, table
from shared.documents.pdf import Paper, build, letterhead
from shared.documents.pieces import Boxed, Columns, Look, heading, over_table, words
from shared.money import usd
from vehicles.diagnosis import clauses
from vehicles.diagnosis.clauses import lower, moment, sentence
from vehicles.diagnosis.explain import proof_in_words, sources_of_checks
from vehicles.diagnosis.likelihood import figure, words_and_figure
from vehicles.diagnosis.pictures import likelihood_bars
from vehicles.inspection import wording as inspection
from vehicles.inspection.pieces import photo_rows

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reportlab.platypus import Flowable

    from vehicles.diagnosis.explain import Case
    from vehicles.diagnosis.known import Concluded

GAP: Final = 18
FACTS, SIGNED, LEFT = 290, 310, 372  # what stands left, before its gap
SMALL: Final = Look(size=8, below=2)
FAINT: Final = Look(size=7.5, gray=True, above=2, below=1)
ROW: Final = Look(size=9, below=3)
STRONG: Final = Look(size=9, bold=True, below=3)
NAME: Final = Look(size=10, bold=True, above=8, below=1)
FIRST: Final = Look(size=8, above=9, below=2)
MOST_OPTIONS: Final = 12
LETTER, FIGURES = 8.0, 136  # the embedded face is wider than that of the pages


def case_paper(case: Case) -> bytes:
    """Return the report as a PDF of letter size; the same case gives the same bytes."""
    record = case.record
    paper = Paper(
        garage=record.garage, title="Case report", number=record.number, day=record.day, size=letter
    )
    return build(paper, lambda: list(_story(case, paper)))


def _story(case: Case, paper: Paper) -> Iterator[Flowable]:
    record = case.record
    lead = f"{record.car}. Complaint looked into: {record.text.title}."
    yield from letterhead(paper, lead)
    yield _identity(case, paper)
    yield Boxed([words(line, Look(size=10.5, bold=True)) for line in clauses.headline(case)])
    parts = (_concluded, _ruled_out, _unsettled, _not_done, _observations, _moved)
    for part in (*parts, _costs, _method, _sources, _made, _photos):
        yield from part(case, paper)


def _identity(case: Case, paper: Paper) -> Columns:
    record, end = case.record, case.record.ending
    columns = [Column(head="", width=96), Column(head="", width=FACTS - 96, bold=True)]
    note = f" {sentence(record.verified_note)}" if record.verified_note else ""
    told = [
        words("Complaint in the household’s words", Look(size=9, bold=True, below=2)),
        words(f"“{record.complaint.strip()}”", ROW),
        words(f"Was it shown here? {record.verified}.{note}", SMALL),
        words(f"Begun {moment(record.begun_at)}, by {record.begun_by}.", SMALL),
    ]
    if end:
        told.append(words(f"Ended {moment(end.at)}, by {end.by}: {lower(end.how)}.", SMALL))
    return _pair([table(columns, record.facts, size=8, pad=1)], told, paper, FACTS)


def _pair(
    left: Sequence[Flowable], right: Sequence[Flowable], paper: Paper, first: float
) -> Columns:
    wide = paper.width - first - GAP
    return Columns([(first, left), (wide, right)], gap=GAP, tallest=paper.height)


def _columns(*named: tuple[str, float]) -> list[Column]:
    return [Column(head=head, width=width) for head, width in named]


# ---- what was concluded, and what not ----


def _concluded(case: Case, paper: Paper) -> Iterator[Flowable]:
    record = case.record
    yield heading("What was concluded")
    if not record.concluded:
        yield words("Nobody has signed for a fault.", ROW)
    for one in record.concluded:
        yield _signed(case, one, paper)
    for one in record.conclusions_back:
        text = f"Taken back: {one.title}, concluded {moment(one.at)} by {one.by}."
        yield words(f"{text} {sentence(one.withdrawn_because)}", SMALL)


def _signed(case: Case, one: Concluded, paper: Paper) -> Columns:
    proof = proof_in_words(case, one.fault)
    left = [
        words(one.title, NAME, role="H3"),
        words(clauses.how_sure(case, one), ROW),
        words(f"Physical proof: {proof}." if proof else clauses.NO_PROOF, ROW),
    ]
    if one.because:
        left.append(words(f"Reason given: {sentence(one.because)}", ROW))
    if one.root:
        left.append(words(f"Brought about by: {one.root}. That is repaired first.", STRONG))
    right = [words(f"Signed for by {one.by}, {moment(one.at)}.", FIRST)]
    if one.evidence:
        right.append(words(f"Rests most on: {one.evidence}", SMALL))
    return _pair(left, right, paper, SIGNED)


def _ruled_out(case: Case, paper: Paper) -> Iterator[Flowable]:
    yield from over_table("What was ruled out, and by what")
    if not case.ruled_out:
        yield words(clauses.NONE_RULED_OUT if case.looking else clauses.CLASHING, ROW)
        return
    fault, share = 166, 76
    columns = _columns(
        ("Fault", fault),
        ("At first", share),
        ("In the end", share),
        ("By observation, and what it did to the odds", paper.width - fault - 2 * share),
    )
    rows = [
        (one.title, str(figure(one.before)), str(figure(one.now)), clauses.by_what(one))
        for one in case.ruled_out
    ]
    yield table(columns, rows, size=8, pad=1.5)


def _unsettled(case: Case, _paper: Paper) -> Iterator[Flowable]:
    lines = [words(line, SMALL) for line in clauses.still_open(case)]
    if lines:
        yield KeepTogether([heading("What is not settled"), *lines])


def _not_done(case: Case, paper: Paper) -> Iterator[Flowable]:
    session = case.session
    yield from over_table("What was not looked at, and why")
    if session.missed:
        columns = _columns(("Could not be done", 220), ("Why", paper.width - 220))
        rows = [(session.model.check(code).title, text) for code, text in session.missed.items()]
        yield table(columns, rows, size=8, pad=1.5)
    else:
        yield words("Nothing is recorded that could not be done.", ROW)
    if rest := clauses.left_out(case):
        yield words(rest, Look(size=8, above=5, below=2))


# ---- what was seen, and what it did ----


def _observations(case: Case, paper: Paper) -> Iterator[Flowable]:
    session = case.session
    yield heading("Every observation, in the order in which it was recorded")
    if not session.steps:
        yield words("Nothing was recorded.", ROW)
    for number, step in enumerate(session.steps, start=1):
        title = f"{number}. {session.model.check(step.check).title}"
        left = [
            words(title, Look(size=9, bold=True, above=6, below=1), role="H3"),
            words(clauses.observed(case, step), ROW),
        ]
        if step.note:
            left.append(words(f"Note: {sentence(step.note)}", SMALL))
        yield _pair(left, [words(clauses.seen_by(step), Look(size=8, above=6))], paper, LEFT)
    for step, until in case.record.observations_back:
        text = clauses.taken_back(case, step, until)
        yield words(text, Look(size=8, gray=True, above=4))


def _moved(case: Case, paper: Paper) -> Iterator[Flowable]:
    seen, sure = 250, 142
    columns = _columns(
        ("Observation", seen), ("Leading after it", paper.width - seen - sure), ("How likely", sure)
    )
    rows = [
        (one.seen, one.leading, "" if one.p is None else str(words_and_figure(one.p)))
        for one in case.turns
    ]
    yield from over_table("How the probabilities moved")
    yield table(columns, rows, size=8, pad=1.5)
    found = case.looking
    if found:
        bars = likelihood_bars(found.bars, len(rows) - 1, letter=LETTER, figures=FIGURES)
        yield KeepTogether([Spacer(0, 10), picture(bars, paper.width)])


# ---- stopping ----


def _costs(case: Case, paper: Paper) -> Iterator[Flowable]:
    end, found = case.record.ending, case.looking
    yield from over_table("Why searching stopped" if end else "Whether to look further")
    if end:
        because = f" {sentence(end.because)}" if end.because else ""
        yield words(f"{end.how}, {moment(end.at)}, by {end.by}.{because}", ROW)
    if found is None:
        yield words(clauses.NO_COSTS, ROW)
        return
    for text in found.advice.sentences:
        yield words(str(text), SMALL)
    rate = usd(case.session.rate)
    yield words(f"An hour of work counts {rate}. {clauses.AVERAGE}", SMALL)
    columns = [
        Column(head="Check left", width=196),
        Column(head="Minutes", width=56, right=True),
        Column(head="Parts, fees", width=66, right=True),
        Column(head="Saves on average", width=92, right=True),
        Column(head="What follows", width=paper.width - 410),
    ]
    rows = [
        (
            one.check.title,
            str(one.effort.minutes),
            usd(one.effort.cents),
            usd(round(one.saving.total)),
            clauses.what_of(case, one),
        )
        for one in found.advice.options
    ]
    if rows:
        yield table(columns, rows[:MOST_OPTIONS], size=8, pad=1.5)
    if len(rows) > MOST_OPTIONS:
        yield words(f"{len(rows) - MOST_OPTIONS} more checks save less or wait.", FAINT)


# ---- how, from what, by whom ----


def _method(case: Case, paper: Paper) -> Iterator[Flowable]:
    yield heading("How the figures were found")
    yield words(clauses.method(case), ROW)
    session = case.session
    if session.cars:
        columns = [
            Column(head="Fault", width=paper.width - 240),
            Column(head="Shipped weight", width=120, right=True),
            Column(head="Weight used", width=120, right=True),
        ]
        rows = [
            (one.title, f"{session.shipped.get(one.code, 0):.3f}", f"{one.weight:.3f}")
            for one in session.model.faults
        ]
        yield table(columns, rows, size=8, pad=1)
    yield KeepTogether([heading("What the figures are not"), words(clauses.WHAT_THEY_ARE_NOT, ROW)])


def _sources(case: Case, _paper: Paper) -> Iterator[Flowable]:
    yield heading("Sources of facts")
    for text in case.session.model.sources:
        yield words(sentence(text), SMALL)
    for source, seen, numbers in sources_of_checks(case):
        mark = inspection.seen(text_seen=seen)
        yield words(f"The check of {numbers}: {source or 'no source kept'}; {mark}.", SMALL)
    if case.record.cautions:
        yield heading("Before anybody repeats these checks")
    for one in case.record.cautions:
        mark = inspection.seen(text_seen=one.text_seen)
        yield words(f"{one.title}. {one.text} {one.authority}; {mark}.", SMALL)


def _made(case: Case, _paper: Paper) -> Iterator[Flowable]:
    record = case.record
    made = f"Report {record.number}, made by {record.made_by}, {moment(record.made_at)}."
    inside = [words(made, Look(size=9, below=2)), words(clauses.NOTE, STRONG)]
    yield KeepTogether([Boxed(inside)])


def _photos(case: Case, paper: Paper) -> Iterator[Flowable]:
    record = case.record
    if not record.shots:
        return
    more = f", {record.more_shots} more in the file" if record.more_shots else ""
    yield heading(f"Photos of the checks{more}")
    yield from photo_rows(record.shots, paper.width, tall=paper.height, look=FAINT, tell=str)
