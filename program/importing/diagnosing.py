"""Diagnoses of the sheets are judged as the page would: what each model knows, and what it proves.

>>> from datetime import date
>>> from program.importing.known import Facts, World
>>> from program.importing.rows import Row
>>> begun = Row(sheet="diagnoses", number=2, ref="d1", values={
...     "complaint": "overheats", "begun": date(2026, 11, 6), "verified": "shown"})
>>> seen = Row(sheet="observations", number=2, ref="o1", values={
...     "diagnosis": "d1", "check": "hoses-look", "outcome": "damp", "seen": date(2026, 11, 6)})
>>> rows = {"diagnoses": [begun], "observations": [seen]}
>>> [fault.sentence for fault in Diagnosing(rows, World(rows={}, facts=Facts())).faults(seen)]
['“Hoses, tanks and joints under pressure” has no outcome “damp”.']

Whatever belongs to a diagnosis comes with it in one import; later it is recorded on its page.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from program.importing.rows import Key
from program.importing.values import nearest
from shared.policy.defaults import DEFAULTS
from vehicles.diagnosis.complaints import load
from vehicles.diagnosis.conclusions import Standing, conclude
from vehicles.diagnosis.inference import Contradiction, Reasoner
from vehicles.diagnosis.kinds import Ended, Sureness, Verified
from vehicles.diagnosis.learning import NOT_LISTED
from vehicles.diagnosis.values import Session, Step

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from program.importing.known import World
    from program.importing.rows import Fault, Row
    from vehicles.diagnosis.belief import Belief
    from vehicles.diagnosis.conclusions import Judged
    from vehicles.diagnosis.fault_model import Check, FaultModel

#: The word of a sheet for a cause that the model does not list.
UNLISTED: Final = "not_listed"
#: The column of the day of what belongs to a diagnosis.
_DAYS: Final[Mapping[str, str]] = MappingProxyType(
    {"observations": "seen", "conclusions": "signed"}
)


@dataclass(frozen=True, kw_only=True)
class Diagnosed:
    """One diagnosis of the sheets with all that was seen in it."""

    model: FaultModel
    steps: tuple[Step, ...]

    @cached_property
    def session(self) -> Session:
        """The diagnosis as it is computed with; its rate does not matter for what is concluded."""
        return Session(model=self.model, steps=self.steps, rate=0)

    @cached_property
    def belief(self) -> Belief | Contradiction:
        """How likely each fault is, or what contradicts itself."""
        try:
            return Reasoner(self.model).believe(self.session.observed)
        except Contradiction as contradiction:
            return contradiction

    @cached_property
    def judged(self) -> Mapping[str, Judged]:
        """How far each fault is concluded, by code; empty where nothing explains what was seen."""
        if isinstance(self.belief, Contradiction):
            return {}
        found = conclude(self.model, self.belief, self.session.observed)
        return {one.fault.code: one for one in found.judged}

    def permille(self, fault: str) -> int:
        """Return how likely a fault is, in a thousand."""
        return round(self.judged[fault].probability * 1000) if self.judged else 0


class Diagnosing:
    """Judges the new diagnoses of the sheets, and whatever belongs to them."""

    def __init__(self, new: Mapping[str, Sequence[Row]], world: World) -> None:
        self._world, self._models = world, load()
        self._rows = {row.ref: row for row in new.get("diagnoses", ())}
        self._signed = {row["diagnosis"] for row in new.get("conclusions", ())}
        steps: defaultdict[str, list[Step]] = defaultdict(list)
        for row in new.get("observations", ()):
            model = self._model(row)
            if model and _fits(model, row):
                steps[row["diagnosis"]].append(
                    Step(check=row["check"], outcome=row["outcome"], could_not=row["could_not"])
                )
        self.found = {
            ref: Diagnosed(model=self._models[row["complaint"]], steps=tuple(steps[ref]))
            for ref, row in self._rows.items()
            if row["complaint"]
        }
        self._own: Mapping[str, Callable[[Row, Row], Iterator[Fault]]] = {
            "observations": self._observation,
            "conclusions": self._conclusion,
            "held": self._held,
        }

    def _model(self, row: Row) -> FaultModel | None:
        diagnosis = self._rows.get(row["diagnosis"])
        return self._models.get(diagnosis["complaint"]) if diagnosis else None

    def faults(self, row: Row) -> Iterator[Fault]:
        """Yield what speaks against a row of a diagnosis."""
        if row.sheet == "diagnoses":
            yield from self._diagnosis(row)
        own = self._own.get(row.sheet)
        if own is None or not row["diagnosis"]:
            return
        diagnosis = self._rows.get(row["diagnosis"])
        if diagnosis:
            yield from _day(row, diagnosis)
            if self._model(row):
                yield from own(row, diagnosis)
        elif Key("diagnoses", row["diagnosis"]) in self._world.facts.known:
            yield row.fault(
                "diagnosis",
                f"The diagnosis {row['diagnosis']} was imported before.",
                "Record this on its page.",
            )

    def _diagnosis(self, row: Row) -> Iterator[Fault]:
        stay = self._world.stay(row["case"])
        last = row["ended"] or row["begun"]
        if stay and stay.left and last and last > stay.left:
            column = "ended" if row["ended"] else "begun"
            yield row.fault(column, f"{last} is after the car left, {stay.left}.", "Correct it.")
        elif stay and stay.left and not row["ended"]:
            yield row.fault(
                "ended",
                "The car has left, but its diagnosis has not ended.",
                "Fill ended and ended_how.",
            )
        if row["ended_how"] == Ended.CONCLUDED and row.ref not in self._signed:
            yield row.fault(
                "ended_how",
                "It ended as concluded, and no row of conclusions is of it.",
                "Add the conclusion, or say how else it ended.",
            )

    def _observation(self, row: Row, diagnosis: Row) -> Iterator[Fault]:
        model = self.found[diagnosis.ref].model
        check = _check(model, row["check"])
        if check is None:
            yield _unknown(row, "check", model, [one.code for one in model.checks])
            return
        if bool(row["outcome"]) == bool(row["could_not"]):
            both = "Both are filled" if row["outcome"] else "Both are empty"
            yield row.fault(
                "outcome",
                f"{both}: a check shows something, or could not be done.",
                "Fill outcome or could_not, one of them.",
            )
        elif row["outcome"] and not _shows(check, row["outcome"]):
            yield row.fault(
                "outcome",
                f"“{check.title}” has no outcome “{row['outcome']}”.",
                f"Use one of: {', '.join(one.code for one in check.outcomes)}.",
            )
        if row["outcome"] and not check.asked and not _was_tried(diagnosis):
            yield row.fault(
                "check",
                "A check counts once it is known whether the complaint shows.",
                f"Fill verified in {diagnosis.key}.",
            )

    def _conclusion(self, row: Row, diagnosis: Row) -> Iterator[Fault]:
        found = self.found[diagnosis.ref]
        codes = [one.code for one in found.model.faults]
        if row["fault"] not in codes:
            yield _unknown(row, "fault", found.model, codes)
        elif row["sureness"] == Sureness.CONFIRMED:
            yield from _unproven(row, found)
        named = next(
            (
                key
                for sheet in ("findings", "readings")
                if row["finding"] and self._world.has(key := Key(sheet, row["finding"]))
            ),
            None,
        )
        stay = self._world.stay(diagnosis["case"])
        if named and stay and self._world.vehicle(named) != stay.vehicle:
            yield row.fault(
                "finding",
                f"{named} belongs to another car than {diagnosis['case']}.",
                "Name a row of the same car.",
            )

    def _held(self, row: Row, diagnosis: Row) -> Iterator[Fault]:
        model = self.found[diagnosis.ref].model
        codes = [*(one.code for one in model.faults), UNLISTED]
        for code in row["causes"] or ():
            if code not in codes:
                yield _unknown(row, "causes", model, codes, code)
        if diagnosis.ref not in self._signed:
            yield row.fault(
                "diagnosis",
                "Nothing was concluded, so there is no repair to ask about.",
                "Add the conclusion.",
            )
        if row["gone"] and not row["causes"]:
            yield row.fault("causes", "The repair held, and no cause is named.", "Fill causes.")
        elif row["causes"] and not row["gone"]:
            yield row.fault(
                "causes", "A repair that did not hold proves no cause.", "Empty causes."
            )
        yield from _held_days(row, diagnosis)


def causes_of(row: Row) -> list[str]:
    """Return the causes of a row of `held` as they are kept."""
    return sorted(NOT_LISTED if code == UNLISTED else code for code in row["causes"])


def _held_days(row: Row, diagnosis: Row) -> Iterator[Fault]:
    repaired, asked, begun = row["repaired"], row["asked"], diagnosis["begun"]
    if repaired and begun and repaired < begun:
        yield row.fault(
            "repaired", f"{repaired} is before the diagnosis was begun, {begun}.", "Correct it."
        )
    days = DEFAULTS["held_after_days"]
    if row["gone"] and repaired and asked and repaired <= asked < repaired + timedelta(days=days):
        yield row.fault(
            "asked",
            f"{asked} is less than {days} days after the repair, {repaired}.",
            "Ask again later, and leave the row out until then.",
        )


def _day(row: Row, diagnosis: Row) -> Iterator[Fault]:
    """Yield whether something happened before its diagnosis was begun, or after it was ended."""
    column = _DAYS.get(row.sheet, "")
    day, begun, ended = row[column], diagnosis["begun"], diagnosis["ended"]
    wrong = ""
    if day and begun and day < begun:
        wrong = f"{day} is before the diagnosis was begun, {begun}."
    elif day and ended and day > ended:
        wrong = f"{day} is after the diagnosis was ended, {ended}."
    if wrong:
        yield row.fault(column, wrong, "Correct the day, or those in the sheet diagnoses.")


def _unproven(row: Row, found: Diagnosed) -> Iterator[Fault]:
    """Yield why a fault is not confirmed by what was seen."""
    one = found.judged.get(row["fault"])
    if one is None or one.standing is not Standing.CONFIRMED:
        yield row.fault(
            "sureness",
            str(one.sentence if one else found.belief),
            "Add what was seen, or use overruled and say why in because.",
        )


def _unknown(
    row: Row, column: str, model: FaultModel, known: Sequence[str], code: str = ""
) -> Fault:
    code = code or row[column]
    what = "check" if column == "check" else "fault"
    return row.fault(
        column,
        f"“{model.title}” has no {what} “{code}”.{nearest(code, known)}",
        f"Use a code of the fault model {model.code}.",
    )


def _fits(model: FaultModel, row: Row) -> bool:
    """Return whether an observation says something that the model knows."""
    check = _check(model, row["check"])
    return check is not None and (not row["outcome"] or _shows(check, row["outcome"]))


def _check(model: FaultModel, code: str) -> Check | None:
    return next((one for one in model.checks if one.code == code), None)


def _shows(check: Check, outcome: str) -> bool:
    return outcome in {one.code for one in check.outcomes}


def _was_tried(diagnosis: Row) -> bool:
    return bool(diagnosis["verified"]) and diagnosis["verified"] != Verified.NOT_YET
