"""A supplement on paper: what is asked, why, and the lines for both who have to say yes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext
from reportlab.graphics.shapes import Drawing, PolyLine
from reportlab.lib.colors import black
from reportlab.lib.pagesizes import letter
from reportlab.platypus import KeepTogether

from shared.documents.grid import Column, table
from shared.documents.pdf import Paper, build, letterhead
from shared.documents.pieces import Boxed, Look, Picture, heading, words
from shared.templatetags.handback import long_day
from vehicles.custody.kinds import SignedHow
from vehicles.custody.values import HEIGHT, WIDTH

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from program.decisions.sheet import OwnerAnswer, Sheet
    from vehicles.custody.values import Stroke

TEXT, STRONG = Look(size=11, below=4), Look(size=11.5, bold=True, below=3)
SIGNING_ROOM = 7  # points above and below what is written by hand
LABEL = 170  # points of the column that says what stands beside it
PAD = 0.38  # of the size of the pad on the screen


def supplement_paper(sheet: Sheet) -> bytes:
    """Return the paper of a supplement as a PDF of letter size, in the language of its words."""
    paper = Paper(
        garage=sheet.garage,
        title=sheet.words.title,
        number=sheet.number,
        day=sheet.day,
        size=letter,
        language=sheet.words.language,
    )
    return build(paper, lambda: _story(sheet, paper))


def signature(strokes: Sequence[Stroke]) -> Drawing:
    """Return a drawn name as it stands on paper."""
    drawing = Drawing(WIDTH * PAD, HEIGHT * PAD)
    for stroke in strokes:
        points = [value for x, y in stroke for value in (x * PAD, (HEIGHT - y) * PAD)]
        drawing.add(
            PolyLine(points * 2 if len(stroke) == 1 else points, strokeColor=black, strokeWidth=1.2)
        )
    return drawing


def _story(sheet: Sheet, paper: Paper) -> list[Flowable]:
    return [
        *letterhead(paper, sheet.where),
        Boxed([words(sheet.words.opening, STRONG)]),
        *_facts(sheet, paper),
        heading(gettext("What we ask")),
        *(words(line, TEXT) for line in sheet.words.lines),
        KeepTogether(_owner(sheet, paper)),
        *([] if sheet.answer else [KeepTogether(_budget(paper))]),
    ]


def _facts(sheet: Sheet, paper: Paper) -> list[Flowable]:
    photo = gettext("Number {number}, kept with the car").format(number=sheet.photo)
    rows = [
        (gettext("Car"), sheet.car),
        (gettext("VIN"), sheet.vin or "–"),
        (gettext("Plate"), sheet.plate or "–"),
        (gettext("Asked by"), sheet.asked_by),
        (gettext("Photo"), photo),
    ]
    return [heading(gettext("The car")), _pairs(rows, paper)]


def _pairs(rows: Sequence[tuple[str, str]], paper: Paper, *, pad: float = 2) -> Flowable:
    columns = [Column(head="", width=LABEL), Column(head="", width=paper.width - LABEL, bold=True)]
    return table(columns, rows, size=10.5, pad=pad)


def _owner(sheet: Sheet, paper: Paper) -> list[Flowable]:
    """Return the owner's answer; lines to be filled by each who may sign before it is given."""
    title = heading(gettext("The owner answers"))
    if sheet.answer:
        rows = _pairs(_record(sheet, sheet.answer), paper)
        return [title, words(sheet.words.promise, TEXT), rows, *_drawn(sheet.answer)]
    box = "☐ {text}"
    lines = [words(box.format(text=text), TEXT) for text in (sheet.words.yes, sheet.words.no)]
    blanks = [(gettext("Signature of {name}").format(name=name), "") for name in sheet.signers]
    blanks += [
        (gettext("Date"), ""),
        (gettext("Interpreter or witness"), ""),
    ]
    return [
        *(title, words(sheet.words.promise, TEXT), *lines),
        _pairs(blanks, paper, pad=SIGNING_ROOM),
    ]


def _record(sheet: Sheet, answer: OwnerAnswer) -> list[tuple[str, str]]:
    day = sheet.answered_on or sheet.day
    rows = [
        (gettext("Answer"), sheet.words.yes),
        (gettext("Said by"), ", ".join(one.name for one in answer.signed)),
        (gettext("How"), _how(answer)),
        (gettext("Date"), gettext("{day}, {year}").format(day=long_day(day), year=day.year)),
    ]
    if answer.interpreter.strip():
        rows.append((gettext("Interpreter"), answer.interpreter.strip()))
    return rows


def _how(answer: OwnerAnswer) -> str:
    if answer.how is SignedHow.PHONE:
        return gettext("Said on the phone. Heard by {name}.").format(name=answer.witness.strip())
    if answer.how is SignedHow.SCREEN:
        return gettext("Signed on the screen, below.")
    return gettext("Signed on paper, which is kept.")


def _drawn(answer: OwnerAnswer) -> list[Flowable]:
    if answer.how is not SignedHow.SCREEN:
        return []
    alt = gettext("Signature of {name}").format(name=answer.signed[0].name)
    return [Picture(signature(answer.strokes), alt)]


def _budget(paper: Paper) -> list[Flowable]:
    blanks = [(gettext("Name and signature"), ""), (gettext("Date"), "")]
    said = gettext("Somebody else than who asks for it.")
    title = heading(gettext("For the budget of the garage"))
    return [title, words(said, TEXT), _pairs(blanks, paper, pad=SIGNING_ROOM)]
