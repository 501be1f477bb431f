"""The notice on paper: what nobody may overlook first, then all of it, then who took it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext
from reportlab.lib.pagesizes import letter
from reportlab.platypus import KeepTogether

from program.decisions.pdf import signature
from program.handback.wording import How, payer_word, tow_line
from shared.documents.grid import Column, table
from shared.documents.pdf import Paper, build, letterhead
from shared.documents.pieces import Boxed, Look, Picture, heading, words
from shared.templatetags.handback import long_day, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from program.handback.sheet import Returning, Sheet

TEXT, STRONG, SHOUT = Look(size=10.5, below=3), Look(size=11, below=2), Look(size=17, bold=True)
SIGNING_ROOM = 9  # points above and below what is written by hand


def notice_paper(sheet: Sheet) -> bytes:
    """Return the notice as a PDF of letter size, in the language of its words."""
    paper = Paper(
        garage=sheet.garage,
        title=sheet.words.title,
        number=sheet.number,
        day=sheet.day,
        size=letter,
        language=sheet.words.language,
    )
    return build(paper, lambda: _story(sheet, paper))


def _story(sheet: Sheet, paper: Paper) -> list[Flowable]:
    shout, *below = sheet.words.box
    return [
        *letterhead(paper, sheet.where),
        Boxed([words(shout, SHOUT), *(words(line, STRONG) for line in below)]),
        *_facts(sheet, paper),
        *(piece for part in sheet.words.parts for piece in _part(part.heading, part.lines)),
        KeepTogether(_taken(sheet, paper)),
    ]


def _part(title: str, lines: Sequence[str]) -> list[Flowable]:
    return [heading(title), *(words(line, TEXT) for line in lines)]


def _facts(sheet: Sheet, paper: Paper) -> list[Flowable]:
    miles = gettext("not read")
    if sheet.odometer_mi is not None:
        miles = gettext("{miles} miles").format(miles=f"{sheet.odometer_mi:,}")
    rows = [
        (gettext("Car"), sheet.car),
        (gettext("VIN"), sheet.vin or "–"),
        (gettext("Plate"), sheet.plate or "–"),
        (gettext("Odometer when it came"), miles),
    ]
    return [heading(gettext("The car")), _pairs(rows, paper)]


def _pairs(rows: Sequence[tuple[str, str]], paper: Paper, *, pad: float = 2) -> Flowable:
    columns = [Column(head="", width=170), Column(head="", width=paper.width - 170, bold=True)]
    return table(columns, rows, size=10.5, pad=pad)


def _taken(sheet: Sheet, paper: Paper) -> list[Flowable]:
    """Return who took the notice, the tow and the keys; blank lines before they have."""
    title = heading(gettext("Notice taken"))
    if sheet.returning is None:
        names = (
            *(gettext("Name"), gettext("Signature"), gettext("Date")),
            gettext("Witness, if signing is declined"),
        )
        return [title, _pairs([(name, "") for name in names], paper, pad=SIGNING_ROOM)]
    return [title, _pairs(_record(sheet.returning), paper), *_drawn(sheet.returning)]


def _record(returning: Returning) -> list[tuple[str, str]]:
    leaving = returning.leaving
    rows = [
        (
            gettext("Date"),
            gettext("{day}, {year}").format(day=long_day(leaving.on), year=leaving.on.year),
        ),
        (gettext("Taken by"), leaving.taken_by.strip()),
        (gettext("How"), _how(returning)),
        (gettext("Tow"), _tow(returning)),
        (gettext("Keys given to"), leaving.keys_to.strip()),
    ]
    if leaving.contents_to.strip():
        rows.append((gettext("What lay in it given to"), leaving.contents_to.strip()))
    if returning.interpreter.strip():
        rows.append((gettext("Interpreter"), returning.interpreter.strip()))
    return rows


def _how(returning: Returning) -> str:
    witness = returning.leaving.witness.strip()
    if returning.how is How.DECLINED:
        return gettext("Declined to sign. Witness: {name}.").format(name=witness)
    if returning.how is How.PAPER:
        return gettext("Signed on paper, which is kept. Seen by {name}.").format(name=witness)
    return gettext("Signed on the screen, below.")


def _tow(returning: Returning) -> str:
    said = say(tow_line(returning.leaving.tow_answer))
    order = returning.leaving.tow
    if order is None:
        return said
    named = gettext("{hauler}, {day}, to {place}. {payer}").format(
        hauler=order.hauler,
        day=long_day(order.on),
        place=order.to_place,
        payer=say(payer_word(order.payer)),
    )
    return f"{said} {named}"


def _drawn(returning: Returning) -> list[Flowable]:
    if returning.how is not How.SCREEN:
        return []
    alt = gettext("Signature of {name}").format(name=returning.leaving.taken_by.strip())
    return [Picture(signature(returning.leaving.strokes), alt)]
