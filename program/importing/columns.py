"""What a sheet is: its columns, what may stand in each, and how that is said to a person.

>>> Column.parse("children", "whole:0..30", means="Children at home.").allowed
'a whole number from 0 to 30'
>>> Column.parse("may_say", "one:MaySay").choices
('nothing', 'call_back', 'progress')
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from program.households.stages import Stage
from program.ledger.chart import Function
from program.ledger.restrictions import SpendKind
from shared.outbox.contact import Channel, MaySay
from shared.people.kinds import PaperKind, PersonKind
from vehicles.codes.kinds import Lamp
from vehicles.custody.acts import Act, OwnerKind
from vehicles.custody.conditions import Mobility, Step
from vehicles.custody.kinds import ContentKind, Hold, Joined, Lien, Paper, SignedHow, Stolen
from vehicles.diagnosis.kinds import Ended, Source, Sureness, Verified
from vehicles.fluids.levels import Engine, Heat, Level, Look
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.depths import Depth
from vehicles.intake.car import Brake, Fuel
from vehicles.intake.kinds import Arrival
from vehicles.repairs.parts import PartCondition
from vehicles.repairs.ranking import CodeSeverity
from vehicles.repairs.states import ItemState
from vehicles.shop.kinds import EquipmentKind
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Mapping

REF: Final = "ref"


class Language(StrEnum):
    """The languages in which people are written to."""

    EN = "en"
    ES = "es"


class Answer(StrEnum):
    """An answer where an empty cell says that nobody has asked."""

    YES = "yes"
    NO = "no"


class Unit(StrEnum):
    """What one piece of a part is."""

    EACH = "each"
    PAIR = "pair"
    SET = "set"


CHOICES: Final[Mapping[str, type[StrEnum]]] = MappingProxyType(
    {
        kinds.__name__: kinds
        for kinds in (
            Act,
            Answer,
            Arrival,
            Brake,
            Channel,
            CodeSeverity,
            ContentKind,
            DeficiencyClass,
            Depth,
            Ended,
            Engine,
            EquipmentKind,
            Fuel,
            Function,
            Heat,
            Hold,
            ItemState,
            Joined,
            Lamp,
            Language,
            Level,
            Lien,
            Look,
            MaySay,
            Mobility,
            OwnerKind,
            Paper,
            PaperKind,
            PartCondition,
            PersonKind,
            SignedHow,
            Source,
            SpendKind,
            Stage,
            Step,
            Stolen,
            Sureness,
            System,
            Unit,
            Verified,
        )
    }
)


class Kind(StrEnum):
    """What may stand in a column. The value is the word used in the list of columns."""

    REF_OWN = "ref_own"
    REF = "ref"
    REFS = "refs"
    TEXT = "text"
    CODE = "code"
    WHOLE = "whole"
    HOURS = "hours"
    SHIFTS = "shifts"
    MONEY = "usd"
    AMOUNT = "usd+"
    DATE = "date"
    MONDAY = "monday"
    YES_NO = "yesno"
    ONE = "one"
    MANY = "many"
    CODES = "codes"
    GIVES = "gives"
    EMAIL = "email"
    STATE = "state"
    ZONE = "zone"
    CASE_NUMBER = "case_number"
    CRITERION = "criterion"
    OPERATION = "operation"
    OPERATIONS = "operations"
    LAMPS = "lamps"
    COMPLAINT = "complaint"
    FLUID = "fluid"
    ACCOUNT = "account"
    TIRE = "tire"
    SPEED = "speed"


#: What a person is told may stand in a column of a kind that needs no further word.

#: Kinds of which a cell may hold several, and those whose empty cell is nothing at all.
LISTS: Final = frozenset(
    {
        Kind.REFS,
        Kind.MANY,
        Kind.CODES,
        Kind.GIVES,
        Kind.LAMPS,
        Kind.OPERATIONS,
        Kind.SHIFTS,
    }
)
NO_TEXT: Final = frozenset(
    {Kind.WHOLE, Kind.HOURS, Kind.MONEY, Kind.AMOUNT, Kind.DATE, Kind.MONDAY}
)

_ALLOWED: Final[Mapping[Kind, str]] = MappingProxyType(
    {
        Kind.REF_OWN: "letters, digits, points and dashes, up to 60, once in the sheet",
        Kind.HOURS: "hours from 0 to 168, such as 7.5",
        Kind.SHIFTS: "days and times with semicolons between, such as Mon 17:30-20:30; Tue 8-16",
        Kind.MONEY: "dollars, such as 140.00",
        Kind.AMOUNT: "dollars above zero, such as 140.00",
        Kind.DATE: "a date, such as 2026-12-01 or 12/1/2026",
        Kind.MONDAY: "the date of a Monday, such as 2026-11-30",
        Kind.YES_NO: "yes or no",
        Kind.CODES: "words or codes with semicolons between",
        Kind.GIVES: "systems, or system/part, with semicolons between",
        Kind.EMAIL: "a mail address",
        Kind.STATE: "the two letters of a state",
        Kind.ZONE: "the name of a time zone, such as America/Chicago",
        Kind.CASE_NUMBER: "year and number, such as 26-041",
        Kind.CRITERION: "the code of a criterion",
        Kind.OPERATION: "the code of a repair operation",
        Kind.OPERATIONS: "codes of repair operations with semicolons between",
        Kind.LAMPS: "codes of warning lamps with semicolons between",
        Kind.COMPLAINT: "the code of a complaint that has a fault model",
        Kind.FLUID: "the code of a fluid",
        Kind.ACCOUNT: "the code of an account",
        Kind.TIRE: "a tire size, such as 205/55R16",
        Kind.SPEED: "a speed symbol, such as H",
    }
)
_CODE_LENGTH: Final = 40


@dataclass(frozen=True, kw_only=True)
class Column:
    """One column. `rest` is what follows the kind: a length, a span, an enum, sheets."""

    name: str
    kind: Kind
    rest: str = ""
    required: bool = False
    example: str = ""
    means: str = ""

    @classmethod
    def parse(
        cls, name: str, kind: str, *, required: bool = False, example: str = "", means: str = ""
    ) -> Column:
        """Return the column whose kind is written such as `text:120` or `one:Stage`.

        Raises:
            ValueError: no such kind, or no such list of choices.
        """
        word, _, rest = kind.partition(":")
        column = cls(
            name=name, kind=Kind(word), rest=rest, required=required, example=example, means=means
        )
        if column.kind in (Kind.ONE, Kind.MANY) and rest not in CHOICES:
            raise ValueError(f"“{rest}” is no list of choices.")
        return column

    @property
    def choices(self) -> tuple[str, ...]:
        """The words that may stand there, where they are a closed list."""
        kinds = CHOICES[self.rest] if self.kind in (Kind.ONE, Kind.MANY) else ()
        return tuple(kind.value for kind in kinds if kind.value)

    @property
    def refers(self) -> tuple[str, ...]:
        """The sheets in which a ref may stand."""
        return tuple(self.rest.split(",")) if self.kind in (Kind.REF, Kind.REFS) else ()

    @property
    def longest(self) -> int:
        """How many characters a text may have."""
        return int(self.rest) if self.kind == Kind.TEXT else _CODE_LENGTH

    @property
    def span(self) -> tuple[int, int]:
        """The least and the most of a whole number."""
        least, _, most = self.rest.partition("..")
        return int(least), int(most)

    @property
    def allowed(self) -> str:
        """What may stand there, as it follows “Type …”."""
        if self.kind in _ALLOWED:
            return _ALLOWED[self.kind]
        if self.kind == Kind.WHOLE:
            return "a whole number from {:,} to {:,}".format(*self.span)
        if self.kind in (Kind.ONE, Kind.MANY):
            words = "one of" if self.kind == Kind.ONE else "any of, with semicolons between"
            return f"{words}: {', '.join(self.choices)}"
        if self.refers:
            sheets = " or ".join(self.refers)
            return f"{'refs' if self.kind == Kind.REFS else 'a ref'} of {sheets}"
        return f"text of up to {self.longest:,} characters"


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """One sheet: the name of its file without `.csv`, what a row is, and its columns."""

    name: str
    about: str
    columns: tuple[Column, ...]

    @property
    def title(self) -> str:
        """The name at the start of a sentence."""
        return self.name.replace("_", " ").capitalize()

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the columns, in order."""
        return tuple(column.name for column in self.columns)
