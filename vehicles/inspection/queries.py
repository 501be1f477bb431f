"""What stands in the rows about inspections: limits in force, equipment, what is left, findings."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from django.core.exceptions import ValidationError
from django.db.models import Case, Count, Exists, F, OuterRef, Q, Subquery, Value, When
from django.db.models.functions import Coalesce, Greatest

from shared.people.may import INSPECT
from shared.people.queries import refuse_unless_may
from vehicles.custody.acts import Act
from vehicles.custody.queries import refuse_without
from vehicles.inspection import applies, units
from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass, Group, Override
from vehicles.inspection.depths import Depth
from vehicles.inspection.models import Finding, Inspection, LocalLimit, Reading, Regrade
from vehicles.intake.models import Intake
from vehicles.shop.models import Equipment

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Iterable, Sequence

    from django.db.models import QuerySet
    from django.db.models.expressions import Combinable

    from shared.accounts.models import Program, User
    from vehicles.inspection.catalogue import Catalogue
    from vehicles.inspection.clauses import Clause
    from vehicles.inspection.criteria import Criterion

#: A shop has these without listing them; they are only missing while listed and out of use. What
#: else a point takes is missing unless it is listed (common practice, no source).
HAND_TOOLS: Final = frozenset(
    {
        *("tread depth gauge", "tire gauge", "torque wrench", "lining gauge", "micrometer"),
        *("drum gauge", "dial gauge", "ruler", "pedal force gauge", "voltmeter"),
    }
)
_CLASSES = [When(deficiency=one.value, then=Value(one.rank)) for one in DeficiencyClass]


def criteria_of_sheet() -> list[Criterion]:
    """Return the criteria that cars here can have, as one goes about a car."""
    fitted = (criterion for criterion in load().criteria.values() if criterion.fitted_us)
    return sorted(fitted, key=lambda criterion: list(Group).index(criterion.group))


def limits_in_force(program: Program, on: dt.date) -> list[LocalLimit]:
    """Return the limits that the program has set for its state and that count on a day."""
    rows = LocalLimit.objects.filter(program=program, since_on__lte=on)
    return list(rows.filter(Q(ended_on__isnull=True) | Q(ended_on__gt=on)))


def override_of(row: LocalLimit) -> Override:
    """Return a local limit as the catalogue takes it.

    Raises:
        ValueError: what was typed is no number in the unit of the criterion.
    """
    unit = load()[row.criterion].unit
    number = units.parse(row.typed, unit)
    return Override(
        criterion=row.criterion,
        reason=row.reason,
        value=units.convert(number.value, number.unit, unit),
        since=row.since_on,
        because=row.because,
        source=row.source,
    )


def catalogue_of(program: Program, on: dt.date) -> Catalogue:
    """Return the catalogue with the program's own limits of that day; one query.

    A limit that today's catalogue can't take any more is left out; the page of limits says so.
    """
    return load([override for _, override in fitting(limits_in_force(program, on)) if override])


def fitting(rows: Iterable[LocalLimit]) -> list[tuple[LocalLimit, Override | None]]:
    """Return each limit as the catalogue takes it, None where it doesn't fit the catalogue."""
    kept: list[Override] = []
    found: list[tuple[LocalLimit, Override | None]] = []
    for row in rows:
        try:
            override = override_of(row)
            load([*kept, override])
        except ValueError:
            found.append((row, None))
        else:
            kept.append(override)
            found.append((row, override))
    return found


@dataclass(frozen=True, kw_only=True)
class LimitLine:
    """A local limit beside the one that the catalogue ships."""

    row: LocalLimit
    title: str
    shipped: str
    fits: bool  # whether today's catalogue can take it


def all_limits(program: Program | None) -> list[LimitLine]:
    """Return every limit of a program, those that count first, the newest before."""
    rows = LocalLimit.objects.filter(program=program).order_by(
        F("ended_on").desc(nulls_first=True), "-since_on", "-pk"
    )
    fits = {row.pk: override is not None for row, override in fitting(reversed(rows))}
    return [_line(row, fits=fits[row.pk]) for row in rows]


def _line(row: LocalLimit, *, fits: bool) -> LimitLine:
    criterion = load().criteria.get(row.criterion)
    if criterion is None:
        return LimitLine(row=row, title=row.criterion, shipped="", fits=False)
    shipped = [
        f"{one.operator} {units.show(one.value, criterion.unit)}"
        for one in criterion.limits
        if one.reason == row.reason
    ]
    return LimitLine(row=row, title=criterion.title, shipped=", ".join(shipped), fits=fits)


def lacking_equipment(program: Program, on: dt.date) -> dict[str, str]:
    """Return what points take and the shop can't use on a day, each with why; one query."""
    rows = list(Equipment.objects.filter(program=program))
    out = [row.name.casefold() for row in rows if row.tagged_out or row.due_on < on]
    kept = [row.name.casefold() for row in rows if not (row.tagged_out or row.due_on < on)]
    found = {}
    for name in applies.equipment(load().criteria.values()):
        if any(name.casefold() in one for one in kept):
            continue
        if any(name.casefold() in one for one in out):
            found[name] = "out of use"
        elif name not in HAND_TOOLS:
            found[name] = "not on the list of equipment"
    return found


def inspections_of(intake: Intake) -> list[Inspection]:
    """Return the inspections of a stay, oldest first, with whoever has them in hand."""
    return list(intake.inspections.select_related("hands", "ended_by"))


def last_inspection(inspections: Sequence[Inspection]) -> Inspection | None:
    """Return the one that is open, else the one begun last, if any."""
    still = [one for one in inspections if one.ended_at is None]
    return next(iter(still or inspections[-1:]), None)


def last_work_on(intake: Intake) -> dt.date | None:
    """Return the day on which work was last done on a stay."""
    done = intake.items.filter(done_on__isnull=False).order_by("-done_on")
    day: dt.date | None = done.values_list("done_on", flat=True).first()
    return day


def readings_of_car(intake: Intake) -> list[Reading]:
    """Return what stands on this stay and on those before, oldest first; one query."""
    rows = Reading.objects.current().filter(intake__vehicle_id=intake.vehicle_id)
    rows = rows.filter(intake__arrived_on__lte=intake.arrived_on)
    return list(rows.order_by("intake__arrived_on", "intake_id", "pk"))


def odometers(intake: Intake) -> dict[int, int]:
    """Return the miles at the start of each stay of the car, by stay, where they were read."""
    stays = Intake.objects.filter(vehicle_id=intake.vehicle_id, odometer_mi__isnull=False)
    return {pk: miles for pk, miles in stays.values_list("pk", "odometer_mi") if miles}


def regrades_of(intake: Intake) -> list[Regrade]:
    """Return every change of a class on a stay, oldest first, with its people."""
    rows = Regrade.objects.filter(finding__intake=intake)
    return list(rows.select_related("by", "second").order_by("pk"))


def barriers(intake: Intake, by: User, on: dt.date) -> list[str]:
    """Return why this user can record nothing on a stay: no consent, or not of the shop."""
    checks = (
        partial(refuse_without, intake, Act.DIAGNOSE, on),
        partial(refuse_unless_may, by, INSPECT, on),
    )
    found: list[str] = []
    for check in checks:
        try:
            check()
        except ValidationError as refusal:
            found += refusal.messages
    return found


def open_findings(intake: Intake) -> list[Finding]:
    """Return what is wrong and not yet put right on a stay, the worst class first."""
    rows = Finding.objects.open().filter(intake=intake).select_related("caused_by")
    return sorted(rows, key=lambda row: (-DeficiencyClass(row.deficiency).rank, row.pk))


def with_sheet_state(intakes: QuerySet[Intake], lacking: Collection[str] = ()) -> QuerySet[Intake]:
    """Return stays with `read`, `left` and `left_final` points, `stopped`, and the `worst` rank.

    Points that this car does not have, that another reading settles, or that take equipment of
    `lacking` and can't be read without, are not left. `stopped` says that a finding ended the look.
    The rank of the worst open class goes from 3 for dangerous down to 0; the rows of the list cost
    no further query.
    """
    worst = (
        Finding.objects.open()
        .filter(intake=OuterRef("pk"))
        .annotate(rank=Case(*_CLASSES, default=Value(0)))
        .order_by("-rank", "pk")
    )
    ended = Inspection.objects.filter(intake=OuterRef("pk"), ended_at__isnull=False)
    sheet = criteria_of_sheet()
    return intakes.annotate(
        read=_read(sheet),
        left=_left(sheet, lacking),
        left_final=_left([one for one in sheet if Depth.FINAL in one.depths], lacking, final=True),
        stopped=Exists(ended.exclude(stopped_because="")),
        worst=Coalesce(Subquery(worst.values("rank")[:1]), Value(0)),
    )


def _left(criteria: Iterable[Criterion], lacking: Collection[str], *, final: bool = False) -> Any:
    """Return how many points of these criteria stand in the way of a stay."""
    asked = [one for one in criteria if applies.stands_in_the_way(one, lacking)]
    free = [one for one in asked if not one.settled_by]
    left = _points(free) - _read(free, final=final)
    for criterion in asked:
        if criterion.settled_by:
            left += _unless_settled(criterion, final=final)
    return Greatest(left, Value(0))


def _read(criteria: Iterable[Criterion], *, final: bool = False) -> Any:
    """Return how many readings stand of these criteria."""
    codes = [criterion.code for criterion in criteria]
    standing = Q(readings__replaced_at__isnull=True, readings__criterion__in=codes)
    return Count("readings", filter=standing & Q(readings__final=final))


def _points(criteria: Iterable[Criterion]) -> Any:
    """Return how many points of these criteria the car of a stay has."""
    counts = Counter(
        tuple(clause for clause in one.applies if clause.binds(place))
        for one in criteria
        for place in one.positions or ("",)
    )
    total: Combinable = Value(counts.pop((), 0))
    for clauses, count in counts.items():
        holds = Q()
        for clause in clauses:
            holds &= _holds(clause)
        total += Case(When(holds, then=Value(count)), default=Value(0))
    return total


def _holds(clause: Clause) -> Q:
    """Return the condition on the car as the database asks it; what nobody noted rules out nothing.

    It says the same as `applies.Clause.holds`.
    """
    if clause.fact == "year":
        sign = {">=": "__gte", "<=": "__lte", "=": ""}[clause.sign]
        return Q(**{f"vehicle__year{sign}": int(clause.values[0])})
    if clause.fact == "power_brakes":
        fits = [word == "yes" for word in clause.values]
        return Q(vehicle__power_brakes__in=fits) | Q(vehicle__power_brakes__isnull=True)
    name = {"fuel": "fuel", "front": "front_brakes", "rear": "rear_brakes"}[clause.fact]
    return Q(**{f"vehicle__{name}__in": [*clause.values, ""]})


def _unless_settled(criterion: Criterion, *, final: bool) -> Any:
    """Return how many of its points are left, none where another reading settles it."""
    settling = Reading.objects.current().filter(
        intake=OuterRef("pk"), criterion__in=criterion.settled_by, final=final
    )
    left = _points([criterion]) - _read([criterion], final=final)
    return Case(When(Exists(settling), then=Value(0)), default=left)
