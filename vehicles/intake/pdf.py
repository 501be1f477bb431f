"""The intake on paper: what was told and seen of one stay, or an empty form to fill in by hand.

It is the shop's copy: no household is named and no address is on it, but for who drives the car.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import segno
from reportlab.graphics.shapes import Circle, Drawing, Group, Path, Rect, String
from reportlab.lib.colors import Color, black, white
from reportlab.lib.pagesizes import letter

from shared.documents.grid import Column, table
from shared.documents.pdf import Paper, build, letterhead
from shared.documents.pieces import Boxed, Columns, Look, Picture, heading, words
from shared.documents.typefaces import BOLD, TEXT, register
from vehicles.intake.sheet import IntakeSheet, Marked
from vehicles.intake.sides import Line
from vehicles.intake.walk_round import DRAWING, HEIGHT, VIEWS, WIDTH, MarkKind

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

GAP = 16
SMALL = 8
QR_POINTS = 64
DRAWING_SHARE = 0.36  # of the width, so that the signatures stand on the first page
BY_HAND_SHARE = 0.62  # room for a pen
BLANK_ROWS = 8
WRITING_ROOM = 8  # points above and below what is written by hand
FILL = Color(0.93, 0.93, 0.93)
_WEIGHTS = {Line.BODY: 3.2, Line.TIRE: 3.2}
_FILLS = {Line.BODY: white, Line.TIRE: white, Line.GLASS: FILL, Line.LAMP: FILL}
# The usual cautions, short; common practice, no source.
SAFE = (
    "Wheels chocked and the brake on before anybody bends down. Smell of fuel, smoke, a warm wheel:"
    " step back and call the shop lead. Nobody touches orange cables. Needles are not picked up."
)
DECIDE = (
    "This sheet supports decisions. A licensed or certified technician and local law decide what"
    " may be driven."
)


def intake_sheet(sheet: IntakeSheet) -> bytes:
    """Return the sheet as a PDF, letter; the same sheet gives the same bytes."""
    paper = Paper(
        garage=sheet.garage, title=sheet.title, number=sheet.number, day=sheet.day, size=letter
    )
    return build(paper, lambda: _story(sheet, paper))


def _story(sheet: IntakeSheet, paper: Paper) -> list[Flowable]:
    left = paper.width - QR_POINTS - GAP if sheet.url else paper.width
    opening = [heading("What is wrong, in the household’s words"), *_complaint(sheet, paper)]
    top: list[tuple[float, Sequence[Flowable]]] = [(left, opening)]
    if sheet.url:
        code = [_code(sheet.url), words("For staff: opens the case.", Look(size=SMALL, gray=True))]
        top.append((QR_POINTS, code))
    half = (paper.width - GAP) / 2
    told = [heading("As it came"), _pairs(sheet.told, half, sheet)]
    facts = [heading("The car"), _pairs(sheet.facts, half, sheet)]
    return [
        *letterhead(paper, sheet.lead),
        Columns(top, gap=GAP, tallest=paper.height),
        *([Boxed([words(one, Look(bold=True)) for one in sheet.stops])] if sheet.stops else []),
        Columns([(half, told), (half, facts)], gap=GAP, tallest=paper.height),
        heading("Walk-round"),
        *_walk(sheet, paper),
        heading("Papers, keys and contents"),
        _pairs(sheet.custody, paper.width, sheet),
        *_signatures(paper),
        Boxed([words(SAFE, Look(size=SMALL, bold=True)), words(DECIDE, Look(size=SMALL))]),
    ]


def _complaint(sheet: IntakeSheet, paper: Paper) -> list[Flowable]:
    if sheet.by_hand:
        line = Column(head="", width=paper.width)
        return [table([line], [("",)] * 3, size=SMALL, pad=WRITING_ROOM)]
    return [words(f"“{sheet.complaint}”", Look(size=11))]


def _pairs(pairs: Sequence[tuple[str, str]], width: float, sheet: IntakeSheet) -> Flowable:
    """Return names with what is known of each; room to write where it is filled in by hand."""
    name = min(width * 0.36, 130)
    columns = [Column(head="", width=name), Column(head="", width=width - name, bold=True)]
    return table(columns, pairs, size=SMALL + 0.5, pad=WRITING_ROOM if sheet.by_hand else 2)


def _lines(names: Sequence[str], width: float, whole: float) -> Flowable:
    """Return lines to write on, each behind its name."""
    columns = [Column(head="", width=width), Column(head="", width=whole - width)]
    return table(columns, [(name, "") for name in names], size=SMALL, pad=WRITING_ROOM - 1)


# ---- the drawing ----


def _walk(sheet: IntakeSheet, paper: Paper) -> list[Flowable]:
    """Return the drawing, and beside it what each mark says."""
    wide = paper.width * (BY_HAND_SHARE if sheet.by_hand else DRAWING_SHARE)
    narrow = paper.width - wide - GAP
    drawing = car_picture(sheet.marks, wide)
    kinds = ", ".join(f"{kind.letter} {kind.label.lower()}" for kind in MarkKind)
    if sheet.marks:
        columns = [Column(head="", width=26, bold=True), Column(head="", width=narrow - 26)]
        rows = [(mark.sign, mark.seen) for mark in sheet.marks]
        legend: list[Flowable] = [table(columns, rows, size=SMALL)]
    elif sheet.by_hand:
        legend = [
            words(f"Letters: {kinds}. Number each mark.", Look(size=SMALL, gray=True)),
            _lines([f"{number}" for number in range(1, BLANK_ROWS + 1)], 18, narrow),
        ]
    else:
        legend = [words("No mark was placed.", Look(size=SMALL))]
    return [Columns([(wide, [drawing]), (narrow, legend)], gap=GAP, tallest=paper.height)]


def car_picture(marks: Sequence[Marked], width: float) -> Picture:
    """Return the drawing of the car with its marks, `width` points wide."""
    register()
    scale = width / WIDTH
    # A page counts from its foot, the drawing from its top: the group turns one into the other.
    group = Group(transform=(scale, 0, 0, -scale, 0, HEIGHT * scale))
    for shape in DRAWING:
        group.add(_path(shape.segments, _WEIGHTS.get(shape.line, 1.4), _FILLS.get(shape.line)))
    for view in VIEWS:
        group.add(_text(str(view.name), *view.label_at, size=20, color=black))
    for mark in marks:
        group.add(Circle(mark.x, mark.y, 20, fillColor=black, strokeColor=white, strokeWidth=2))
        group.add(_text(mark.sign, mark.x, mark.y + 7, size=20, color=white))
    alt = f"The car from above and from its four sides, with {len(marks)} marks"
    return Picture(Drawing(width, HEIGHT * scale, group), alt)


def _path(
    segments: Sequence[tuple[str, tuple[float, ...]]], weight: float, fill: Color | None
) -> Path:
    path = Path(strokeColor=black, strokeWidth=weight, fillColor=fill)
    draw = {"M": path.moveTo, "L": path.lineTo, "C": path.curveTo}
    for letter_, numbers in segments:
        path.closePath() if letter_ == "Z" else draw[letter_](*numbers)
    return path


def _text(text: str, x: float, y: float, *, size: float, color: Any) -> Group:
    """Return words, turned back so that they don't stand on their heads."""
    face = BOLD if color is white else TEXT
    said = String(0, 0, text, fontName=face, fontSize=size, textAnchor="middle", fillColor=color)
    return Group(said, transform=(1, 0, 0, -1, x, y))


def _code(url: str) -> Picture:
    """Return the address as a QR code with its quiet zone, in rectangles, one for each run.

    Source: ISO/IEC 18004 (the symbol and its quiet zone of 4 modules, by segno), from memory.
    """
    rows = [bytes(row) for row in segno.make(url, error="m", micro=False).matrix_iter(border=4)]
    side = QR_POINTS / len(rows)
    drawing = Drawing(QR_POINTS, QR_POINTS)
    for number, row in enumerate(rows):
        y = QR_POINTS - (number + 1) * side
        for start, length in _runs(row):
            box = Rect(start * side, y, length * side, side)
            box.fillColor, box.strokeColor = black, None
            drawing.add(box)
    return Picture(drawing, "QR code for staff: opens the case of this stay")


def _runs(row: bytes) -> list[tuple[int, int]]:
    """Return where dark modules stand together, and how many."""
    runs: list[tuple[int, int]] = []
    for place, dark in enumerate(row):
        if not dark:
            continue
        if runs and sum(runs[-1]) == place:
            runs[-1] = (runs[-1][0], runs[-1][1] + 1)
        else:
            runs.append((place, 1))
    return runs


# ---- signatures ----


def _signatures(paper: Paper) -> list[Flowable]:
    """Return the lines on which those sign who brought the car and who took it in."""
    half = (paper.width - GAP) / 2
    columns = [Column(head="", width=half), Column(head="", width=half)]
    rows = [
        ("Brought by, name and signature", "Taken in by, name and signature"),
        ("Day and time", "Day and time"),
    ]
    return [heading("Signed"), table(columns, rows, size=SMALL, pad=WRITING_ROOM + 3)]


def paper_form(*, garage: str, number: str, day: dt.date) -> bytes:
    """Return the empty form, numbered, for a day without a tablet."""
    told = ("Came on, at", "Driven, towed, pushed", "Who drives it", "Miles a week")
    dash = ("Sleeps in it? yes / no", "Odometer, miles", "Fuel, eighths", "Warning lamps lit")
    facts = ("VIN", "Year, make, model", "Engine, fuel", "Transmission")
    more = ("Brakes front / rear: disc, drum", "Tire size", "Plate, state", "Body, color")
    papers = (
        "Owner on title or registration",
        "Lien, hold, reported stolen?",
        "Keys: tag, how many",
    )
    things = ("In the car, and where", "Given back at once")
    return intake_sheet(
        IntakeSheet(
            garage=garage,
            number=number,
            day=day,
            title="Intake, by hand",
            lead="Type it in when the tablet works again, and keep the paper under its number.",
            told=tuple((name, "") for name in (*told, *dash)),
            facts=tuple((name, "") for name in (*facts, *more)),
            custody=tuple((name, "") for name in (*papers, *things)),
            by_hand=True,
        )
    )
