"""What one computation of the plan found, and the same as JSON, so that a page needs no solver.

>>> week = WeekUse(starts_on=date(2026, 11, 30), minutes_there=600, minutes_used=540)
>>> week.minutes_left
60
>>> kept = Outcome(plan=Plan(cases=(), stages=()), weeks=(week,)).to_json()
>>> Outcome.from_json(kept).weeks == (week,)
True
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date
from typing import Any, Self

from program.planning.plan import (
    PartSource,
    Payment,
    Plan,
    PlannedCase,
    Stage,
    StageName,
)

Json = dict[str, Any]


@dataclass(frozen=True, kw_only=True)
class Home:
    """One case that goes home: its name, the work left in words, the days that can be told."""

    case_id: str
    name: str
    work: str
    need_weight: int
    start_on: date
    from_on: date
    by_on: date


@dataclass(frozen=True, kw_only=True)
class Wait:
    """One case that waits: what it lacks, the reasons, what taking it in would cost the others.

    Not `exact`: what it lacks is a bound, and nobody has asked for the reasons yet. Not `proven`:
    what it lacks was worked out as far as the effort went; less may do.
    """

    case_id: str
    name: str
    need_weight: int
    lacks: str
    held: bool = False  # a person has to act before it can be planned
    reasons: tuple[str, ...] = ()
    swap: str = ""
    exact: bool = True
    proven: bool = True

    def to_json(self) -> Json:
        """Return the row as `Outcome.to_json` holds it."""
        return _plain(asdict(self))


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """One part to ask for: the need it would fill, the cases it would free, what that is worth.

    Not `exact`: `weight` is the most that it could be worth, and nobody has worked it out yet.
    """

    need_id: int
    label: str
    sentence: str
    freed: tuple[str, ...] = ()
    weight: int = 0
    cents_saved: int = 0
    exact: bool = True
    cash: str = ""  # the money that would do the same

    def to_json(self) -> Json:
        """Return the row as `Outcome.to_json` holds it."""
        return _plain(asdict(self))

    @classmethod
    def from_json(cls, data: Json) -> Self:
        """Return the row that `to_json` wrote."""
        return cls(**_typed(data))


@dataclass(frozen=True, kw_only=True)
class Clash:
    """One case that has to stay in and doesn't fit: why, and the pins of which one may come off."""

    case_id: str
    sentences: tuple[str, ...]
    pins: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Stay:
    """One car in one bay, from its first to its last day there."""

    case_id: str
    bay: str
    first_on: date
    last_on: date


@dataclass(frozen=True, kw_only=True)
class WeekUse:
    """What one week holds and what the plan takes of it."""

    starts_on: date
    minutes_there: int
    minutes_used: int
    bay_days_there: int = 0
    bay_days_used: int = 0
    lift_days_there: int = 0
    lift_days_used: int = 0

    @property
    def minutes_left(self) -> int:
        """Minutes that nobody has been given."""
        return self.minutes_there - self.minutes_used


@dataclass(frozen=True, kw_only=True)
class FundUse:
    """One fund: free before the plan, of that kept back, paid by the plan, set aside before."""

    code: str
    name: str
    free_cents: int
    kept_cents: int
    plan_cents: int
    set_aside_cents: int

    @property
    def left_cents(self) -> int:
        """Free after the plan, what is kept back not counted."""
        return self.free_cents - self.kept_cents - self.plan_cents


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """A plan with everything that a person is told about it."""

    plan: Plan
    homes: tuple[Home, ...] = ()
    waits: tuple[Wait, ...] = ()
    wanted: tuple[Wanted, ...] = ()
    stays: tuple[Stay, ...] = ()
    weeks: tuple[WeekUse, ...] = ()
    funds: tuple[FundUse, ...] = ()
    problems: tuple[str, ...] = ()
    clashes: tuple[Clash, ...] = ()
    slots: tuple[Json, ...] = ()  # who works on what when, as `boarding` reads it
    help: tuple[str, ...] = ()  # other help that would free cars: parts together, hours, a lift
    changes: tuple[str, ...] = ()  # against the plan in force when it was computed
    cost_p50: int = 0  # cents of all its work, what all cars share counted
    cost_p80: int = 0
    pins_cost: int = 0  # need weight that a plan without the pins would reach beyond this one

    def to_json(self) -> Json:
        """Return the outcome as JSON holds it: days as ISO text, rows as lists."""
        rows = {name: [_plain(asdict(row)) for row in getattr(self, name)] for name in _ROW_KINDS}
        return {
            "plan": plan_to_json(self.plan),
            "problems": list(self.problems),
            "slots": list(self.slots),
            "changes": list(self.changes),
            "cost_p50": self.cost_p50,
            "cost_p80": self.cost_p80,
            "pins_cost": self.pins_cost,
            **rows,
        }

    @classmethod
    def from_json(cls, data: Json) -> Self:
        """Return the outcome that `to_json` wrote."""
        rows: Json = {
            name: tuple(kind(**_typed(row)) for row in data.get(name, ()))
            for name, kind in _ROW_KINDS.items()
        }
        return cls(
            plan=plan_from_json(data["plan"]),
            problems=tuple(data["problems"]),
            slots=tuple(data.get("slots", ())),
            changes=tuple(data.get("changes", ())),
            cost_p50=data.get("cost_p50", 0),
            cost_p80=data.get("cost_p80", 0),
            pins_cost=data.get("pins_cost", 0),  # plans kept before it was computed have none
            **rows,
        )


_ROW_KINDS: dict[str, type] = {
    "homes": Home,
    "waits": Wait,
    "clashes": Clash,
    "wanted": Wanted,
    "stays": Stay,
    "weeks": WeekUse,
    "funds": FundUse,
}


def plan_to_json(plan: Plan) -> Json:
    """Return a plan as JSON holds it; its problems are sentences and stand in the outcome."""
    return {
        "repeatable": plan.repeatable,
        "stages": [asdict(stage) for stage in plan.stages],
        "cases": [
            asdict(case) | {"uses": [[*key, amount] for key, amount in sorted(case.uses.items())]}
            for case in plan.cases
        ],
    }


def plan_from_json(data: Json) -> Plan:
    """Return the plan that `plan_to_json` wrote, without its problems."""
    return Plan(
        stages=tuple(Stage(**row | {"name": StageName(row["name"])}) for row in data["stages"]),
        cases=tuple(_planned_case(row) for row in data["cases"]),
        repeatable=data.get("repeatable", True),  # plans kept before it was known were
    )


def _planned_case(row: Json) -> PlannedCase:
    return PlannedCase(
        case_id=row["case_id"],
        start_week=row["start_week"],
        home_week=row["home_week"],
        item_ids=tuple(row["item_ids"]),
        parts=tuple(PartSource(**part) for part in row["parts"]),
        payments=tuple(Payment(**payment) for payment in row["payments"]),
        uses={(week, name): amount for week, name, amount in row["uses"]},
    )


def _plain(row: Json) -> Json:
    return {
        name: value.isoformat() if isinstance(value, date) else value for name, value in row.items()
    }


def _typed(row: Json) -> Json:
    return {name: _value(name, value) for name, value in row.items()}


def _value(name: str, value: object) -> object:
    if name.endswith("_on") and isinstance(value, str):
        return date.fromisoformat(value)
    return tuple(value) if isinstance(value, list) else value
