"""What a single row must hold, beyond the shape of its cells.

>>> from program.importing.rows import Row
>>> row = Row(sheet="equipment", number=2, ref="e1", values={"due": date(2026, 1, 1)})
>>> list(faults(row))
[]
>>> late = Row(sheet="pledges", number=3, ref="d1",
...     values={"pledged": date(2026, 2, 1), "expires": date(2026, 1, 1)})
>>> [fault.sentence for fault in faults(late)]
['expires is 2026-01-01, before pledged, 2026-02-01.']
"""

from __future__ import annotations

from datetime import date
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from program.ledger.chart import Kind, load
from shared.outbox.contact import Channel
from shared.people.kinds import PaperKind
from vehicles.custody.conditions import Step
from vehicles.custody.kinds import ContentKind, SignedHow
from vehicles.diagnosis.kinds import Ended, Sureness
from vehicles.inspection.depths import Depth
from vehicles.intake import vin
from vehicles.repairs.states import ItemState

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from program.importing.rows import Fault, Row

#: Papers of people that run out, with the column of their last day.
DATED_PAPERS: Final[Mapping[PaperKind, str]] = MappingProxyType(
    {
        PaperKind.DRIVER_LICENSE: "license_until",
        PaperKind.INSURER_LIST: "insurer_list_until",
        PaperKind.CERTIFICATE: "certificate_until",
    }
)
#: Pairs of columns of which the second is never less than the first.
_IN_ORDER: Final[Mapping[str, tuple[tuple[str, str], ...]]] = MappingProxyType(
    {
        "people": (
            ("waiver_since", "waiver_until"),
            *(("papers_seen", column) for column in DATED_PAPERS.values()),
        ),
        "equipment": (("inspected", "due"),),
        "cases": (("opened", "closed"), ("arrived", "left")),
        "consents": (("given", "until"),),
        "keys": (("since", "returned"),),
        "contents": (("listed", "returned"),),
        "inspections": (("begun", "ended"),),
        "diagnoses": (("begun", "ended"),),
        "held": (("repaired", "asked"),),
        "local_limits": (("since", "ended"),),
        "repair_items": (
            ("labor_low_min", "labor_likely_min"),
            ("labor_likely_min", "labor_high_min"),
            ("access_min", "labor_low_min"),
        ),
        "parts": (
            ("price_low_usd", "price_usd"),
            ("price_usd", "price_high_usd"),
            ("year_from", "year_to"),
        ),
        "sponsors": (("since", "ended"),),
        "pledges": (("pledged", "expires"), ("year_from", "year_to"), ("available", "expires")),
        "funds": (("opened", "lapses"), ("opened", "closed"), ("from", "until")),
    }
)
#: Column, value, and the column that has to be filled where the first holds the value. None stands
#: for any value.
_NEEDS: Final[Mapping[str, tuple[tuple[str, str | None, str], ...]]] = MappingProxyType(
    {
        "people": (
            ("skills", None, "skills_since"),
            ("waiver_until", None, "waiver_since"),
            *((column, None, "papers_seen") for column in (*DATED_PAPERS.values(), "other_papers")),
        ),
        "cases": (
            ("closed", None, "closed_because"),
            ("arrived", None, "complaint"),
            ("arrived", None, "vehicle"),
            ("left", None, "arrived"),
        ),
        "equipment": (("tagged_out_because", None, "tagged_out"),),
        "consents": (("how", SignedHow.PHONE, "witness"),),
        "contents": (
            ("returned", None, "returned_to"),
            ("decided_by", None, "decided_because"),
            ("decided_because", None, "decided_by"),
        ),
        "inspections": (("depth", Depth.FINAL, "odometer_mi"), ("ended", None, "unread")),
        "diagnoses": (
            ("ended", None, "ended_how"),
            ("ended_how", None, "ended"),
            ("ended_by", None, "ended"),
            *(("ended_how", how, "ended_because") for how in Ended if how is not Ended.CONCLUDED),
        ),
        "conclusions": (("sureness", Sureness.OVERRULED, "because"),),
        "fluid_readings": (("poured", None, "bottle"), ("bottle", None, "poured")),
        "repair_items": (
            ("state", ItemState.DONE, "done"),
            ("state", ItemState.WITHDRAWN, "withdrawn_because"),
            ("access_min", None, "access"),
            ("took_min", None, "done"),
            ("cost_usd", None, "done"),
        ),
        "parts": (("price_low_usd", None, "price_usd"), ("price_high_usd", None, "price_usd")),
    }
)
_REACHED_BY: Final[Mapping[str, str]] = MappingProxyType(
    {Channel.EMAIL: "email", Channel.TEXT: "phone", Channel.PHONE: "phone"}
)
GONE: Final = (Step.HANDED_BACK, Step.RETURNED_UNREPAIRED, Step.SCRAPPED)


def faults(row: Row) -> Iterator[Fault]:
    """Yield what is wrong with a row by itself; a cell that could not be read is passed over."""
    own = _OWN.get(row.sheet)
    found = (*_order(row), *_filled(row), *(own(row) if own else ()))
    yield from (fault for fault in found if fault.column not in row.broken)


def _order(row: Row) -> Iterator[Fault]:
    for first, second in _IN_ORDER.get(row.sheet, ()):
        low, high = row[first], row[second]
        if low is not None and high is not None and high < low:
            word = "before" if isinstance(high, date) else "less than"
            yield row.fault(
                second,
                f"{second} is {_shown(row, second)}, {word} {first}, {_shown(row, first)}.",
                f"Correct {first} or {second}.",
            )


def _shown(row: Row, name: str) -> str:
    return row.typed.get(name) or str(row[name])


def _filled(row: Row) -> Iterator[Fault]:
    for column, value, needed in _NEEDS.get(row.sheet, ()):
        holds = row[column] == value if value else _stated(row[column])
        if holds and not _stated(row[needed]):
            said = f"{column} is {value}" if value else f"{column} is filled"
            yield row.fault(needed, f"{needed} is empty, though {said}.", f"Fill {needed}.")


def _stated(value: Any) -> bool:
    return value is not False and value not in (None, "", ())


def _vehicle(row: Row) -> Iterator[Fault]:
    """Refuse a VIN that is not right, unless a note says why it is unusual."""
    typed = row["vin"]
    if not typed or row["vin_note"]:
        return
    remedy = "Correct it, or say in vin_note why it is right."
    try:
        number = vin.validate(typed)
    except ValueError as error:
        yield row.fault("vin", str(error), remedy)
        return
    years = vin.model_years(number)
    if row["year"] and years and row["year"] not in years:
        meant = " or ".join(map(str, years))
        yield row.fault(
            "year",
            f"The VIN says model year {meant}, the row {row['year']}.",
            "Correct the year or the VIN, or say in vin_note why both are right.",
        )


def _household(row: Row) -> Iterator[Fault]:
    if row["barred"]:
        return
    column = _REACHED_BY.get(row["channel"], "")
    if column and not row[column]:
        yield row.fault(
            column,
            f"The channel is {row['channel']}, but {column} is empty.",
            f"Fill {column}, choose another channel, or set barred to yes.",
        )


def _case(row: Row) -> Iterator[Fault]:
    """Refuse a case of nobody, and a step that the days of the stay speak against."""
    if not row["household"] and not row["vehicle"]:
        yield row.fault(
            "household",
            "A case has a household, a vehicle or both; this has neither.",
            "Fill household or vehicle.",
        )
    step = row["step"] or (Step.ON_LOT if row["arrived"] else Step.EXPECTED)
    if row["arrived"] and step == Step.EXPECTED:
        yield row.fault(
            "step",
            "The car has arrived, so it is not expected any more.",
            "Choose the step in which it is.",
        )
    elif not row["arrived"] and step != Step.EXPECTED:
        yield row.fault(
            "arrived",
            f"The step is {step}, but the car has not arrived.",
            "Fill arrived, or leave step empty.",
        )
    elif row["left"] and step not in GONE:
        yield row.fault(
            "step",
            f"The car has left, but its step is {step}.",
            f"Choose one of: {', '.join(GONE)}.",
        )
    elif step in GONE and not row["left"]:
        yield row.fault("left", f"The step is {step}, but left is empty.", "Fill left.")
    if row["closed"] and row["arrived"] and not row["left"]:
        yield row.fault(
            "left", "The case is closed, but the car has not left.", "Fill left, or empty closed."
        )


def _consent(row: Row) -> Iterator[Fault]:
    if row["how"] == SignedHow.SCREEN:
        yield row.fault(
            "how",
            "A name drawn on a screen is no cell of a sheet.",
            "Use paper, phone or imported, or record it on the page of the stay.",
        )


def _content(row: Row) -> Iterator[Fault]:
    """Refuse that a weapon or a biohazard went back before a person decided on it."""
    kind = row["kind"]
    if row["returned"] and kind and ContentKind(kind).stops_work and not row["decided_by"]:
        yield row.fault(
            "decided_by",
            f"A {kind} went back, and nobody decided on it.",
            "Fill decided_by and decided_because.",
        )


def _inspection(row: Row) -> Iterator[Fault]:
    if row["odometer_mi"] is not None and row["depth"] != Depth.FINAL:
        yield row.fault(
            "odometer_mi",
            "Only the final sheet notes the odometer.",
            "Empty it; the miles at arrival stand in the sheet cases.",
        )


def _hours(row: Row) -> Iterator[Fault]:
    """Refuse hours that are not the sum of their shifts."""
    summed = sum(minutes for _, _, minutes in row["shifts"] or ())
    if summed and row["hours"] not in (None, summed):
        yield row.fault(
            "hours",
            f"The shifts make {summed / 60:g} hours, the row {row['hours'] / 60:g}.",
            "Correct the hours or the shifts.",
        )


def _equipment(row: Row) -> Iterator[Fault]:
    if row["inspected"] and row["inspected"] == row["due"]:
        yield row.fault(
            "due",
            f"The next inspection is due on the day of the last, {row['due']}.",
            "Correct due: it is the day by which the next one has to be.",
        )


def _opening(row: Row) -> Iterator[Fault]:
    account = load().get(row["account"] or "")
    if account and account.kind not in (Kind.ASSET, Kind.LIABILITY):
        yield row.fault(
            "account",
            f"Account {account.code} {account.name} has no opening balance.",
            "Give an account of what the fund has or owes, such as 1010.",
        )


_OWN: Final[Mapping[str, Callable[[Row], Iterator[Fault]]]] = MappingProxyType(
    {
        "hours": _hours,
        "equipment": _equipment,
        "households": _household,
        "vehicles": _vehicle,
        "cases": _case,
        "consents": _consent,
        "contents": _content,
        "inspections": _inspection,
        "opening_balances": _opening,
    }
)
