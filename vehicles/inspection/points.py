"""One point of a sheet: what was read there, what it means now, and what was read before."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from django.utils import timezone

from shared.dates import short_date
from vehicles.inspection import units
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.judge import GOOD
from vehicles.inspection.judged import driving
from vehicles.inspection.reading import compared, typed
from vehicles.inspection.wear import Measured, near, wear

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping
    from fractions import Fraction

    from shared.say import Say
    from vehicles.inspection.criteria import Criterion
    from vehicles.inspection.models import Finding, NotRead, Reading, Regrade

#: Row and column of the places that lie left and right of each other on the car.
CORNERS: Final = {
    "LF": ("front", 0),
    "RF": ("front", 1),
    "LR": ("rear", 0),
    "RR": ("rear", 1),
    "left": ("", 0),
    "right": ("", 1),
}
SIDES: Final = ("left", "right")


@dataclass(frozen=True, kw_only=True)
class Setting:
    """What the points of one sheet have in common."""

    today: dt.date
    miles_per_week: int
    odometers: Mapping[int, int]  # miles at the start of each stay of the car, by stay
    criteria: Mapping[str, Criterion]
    lacking: Mapping[str, str] = field(default_factory=dict)  # equipment, and why


@dataclass(frozen=True, kw_only=True)
class Point:
    """One place of one criterion, with the reading that stands and counts there."""

    criterion: Criterion
    position: str = ""
    reading: Reading | None = None
    again: Say | None = None  # why the reading below no longer counts
    stale: Reading | None = None
    not_read: NotRead | None = None  # somebody said why it is not read
    earlier: tuple[Reading, ...] = ()  # what was read here before: other stays, the other sheet
    finding: Finding | None = None  # what followed from the reading, open or not
    regrades: tuple[Regrade, ...] = ()

    @property
    def place(self) -> str:
        """Where on the car, in words: `front left`, `rear center`; empty when read once."""
        row, column, paired = place_of(self.position)
        return f"{row} {SIDES[column]}".strip() if paired else row

    @property
    def title(self) -> str:
        """The criterion and the place."""
        return f"{self.criterion.title}, {self.place}" if self.place else self.criterion.title

    @property
    def last(self) -> Reading | None:
        """The reading before this one: of this sheet, the other sheet, or an earlier stay."""
        return self.reading or self.stale or next(reversed(self.earlier), None)

    @property
    def seen_id(self) -> int | None:
        """The key of the reading that stands, whether or not it still counts."""
        shown = self.reading or self.stale
        return shown.pk if shown else None

    @property
    def deficiency(self) -> DeficiencyClass:
        """The class that counts: as judged, or as people set it."""
        if self.reading is None:
            return DeficiencyClass.NONE
        return DeficiencyClass((self.finding or self.reading).deficiency)

    @property
    def waiting(self) -> Regrade | None:
        """The change of class that waits for its second person."""
        return next((one for one in self.regrades if one.waits), None)

    @property
    def is_fault(self) -> bool:
        """Whether something is wrong here."""
        reading = self.reading
        return reading is not None and (self.deficiency != DeficiencyClass.NONE or reading.strands)

    @property
    def held(self) -> bool:
        """Whether the program hands no car back with this open."""
        return self.is_fault and self.reading is not None and self.reading.never_release

    @property
    def drives(self) -> Say:
        """What the class means for driving now."""
        return driving(self.deficiency, never_release=self.held)

    @property
    def eu_class(self) -> DeficiencyClass | None:
        """The class of the EU item alone; None where the catalogue has changed since."""
        reading = self.reading
        reasons = [
            one for one in self.criterion.reasons if reading and one.key == reading.reason_key
        ]
        return reasons[0].eu_class if reasons else None

    @property
    def figure(self) -> str:
        """What was read, short enough for a button: a number, `good`, or the class."""
        if self.reading is None:
            return "read again" if self.again else "can’t read" if self.not_read else "not read"
        return figure_of(self.criterion, self.reading, self.deficiency)

    @property
    def sign(self) -> str:
        """The unit after the number, unless it was typed with it."""
        return sign_of(self.criterion, self.reading) if self.reading else ""

    @property
    def in_words(self) -> str:
        """The figure with its unit: `1/32 in`, `12.1 V`, `good`."""
        return with_sign(self.figure, self.sign)

    @property
    def last_in_words(self) -> str:
        """The same of the reading before."""
        last = self.last
        if last is None:
            return ""
        figure = figure_of(self.criterion, last, DeficiencyClass(last.deficiency))
        return with_sign(figure, sign_of(self.criterion, last))

    @property
    def stands(self) -> str:
        """What somebody said here meanwhile, for who was about to say another thing."""
        if self.reading:
            return f"{self.reading.read_by} recorded meanwhile: {self.reading.sentence}"
        return f"it can’t be read: {self.not_read.because}." if self.not_read else ""

    @property
    def values(self) -> dict[str, object]:
        """What stands here, as the sheet's script takes it."""
        reading = self.reading or self.stale
        return {
            "criterion": self.criterion.code,
            "position": self.position,
            "title": self.title,
            "figure": self.in_words,
            "id": self.seen_id,
            "deficiency": self.deficiency.value if self.reading else "",
            "sentence": reading.sentence if reading else "",
            "drives": str(self.drives) if self.is_fault else "",
            "read_by": reading.read_by if reading else "",
            "at": clock(reading.recorded_at) if reading else "",
            "not_read": self.not_read.because if self.not_read else "",
        }

    def near(self, setting: Setting) -> Say | None:
        """Return what is said of a good number that is near its limit, with the month it comes."""
        number = number_of(self.criterion, self.reading) if self.reading else None
        if number is None or self.is_fault:
            return None
        worn = wear(
            self.criterion,
            number,
            self.position,
            miles_per_week=setting.miles_per_week,
            today=setting.today,
            readings=self._measured(setting),
        )
        if worn:
            return worn.sentence
        advised = near(self.criterion, number)
        return advised.sentence if advised else None

    def _measured(self, setting: Setting) -> list[Measured]:
        """Return the numbers read at this point with the miles of their stay, oldest first."""
        rows = (*self.earlier, *((self.reading,) if self.reading else ()))
        numbers = (
            (number_of(self.criterion, one), setting.odometers.get(one.intake_id)) for one in rows
        )
        return [
            Measured(number=number, odometer=miles)
            for number, miles in numbers
            if number is not None and miles
        ]


def clock(moment: dt.datetime) -> str:
    """Return the time where the program is: `9:05`, and on another day `9:05 on Nov 29`."""
    local = timezone.localtime(moment)
    time = f"{local:%-H:%M}"
    return time if local.date() == timezone.localdate() else f"{time} on {short_date(local)}"


def place_of(position: str) -> tuple[str, int, bool]:
    """Return line, column and whether a place has a partner across the car."""
    corner, _, rest = position.partition("-")
    if corner in CORNERS:
        row, column = CORNERS[corner]
        return f"{row} {rest}".strip(), column, True
    return position.replace("-", " "), 0, False


def figure_of(criterion: Criterion, reading: Reading, deficiency: DeficiencyClass) -> str:
    """Return what a reading says, short enough for a button."""
    if criterion.is_measured:
        word = criterion.marked_limit
        return reading.typed.partition(word)[0].strip() if word else reading.typed
    if deficiency != DeficiencyClass.NONE:
        return deficiency.value
    return GOOD if reading.typed.lower() == GOOD else "noted"


def sign_of(criterion: Criterion, reading: Reading) -> str:
    """Return the unit after the number of a reading, unless it was typed with it."""
    if not criterion.is_measured or reading.unit not in units.UNITS:
        return ""
    figure = figure_of(criterion, reading, DeficiencyClass.NONE)
    if any(letter.isalpha() or letter in '%°"' for letter in figure):
        return ""
    unit = units.UNITS[reading.unit]
    return (unit.sign or unit.code).strip()


def with_sign(figure: str, sign: str) -> str:
    """Return a figure with its unit."""
    return f"{figure}{' ' if sign[:1].isalpha() else ''}{sign}"


def number_of(criterion: Criterion, reading: Reading) -> Fraction | None:
    """Return the number of a reading in the unit of its criterion.

    None for a point that is seen, or where today's catalogue has no such number.
    """
    if not criterion.is_measured:
        return None
    try:
        given, _ = typed(criterion, reading.typed, reading.unit)
        return compared(criterion, given)
    except ValueError:
        return None
